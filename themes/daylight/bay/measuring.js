// The steps for the identity and the measurements of a vehicle: their fields, and the entries they write.
"use strict";
globalThis.bay = globalThis.bay || {};

/** `page` is what bay.js lends: the vocabulary, the entries of the vehicle that is open, and how a change is kept. */
bay.measuring = (page) => {
  const { made, text, choice, ruler, picked, button, fold, toggle } = bay.entries;
  const { filled, isDrivenByBattery, fluidWords, isBeyondDiscard, LININGS, METAL } = bay.limits;
  const { vocabulary, wheels, set, setAndShow, part, keep } = page;
  const say = vocabulary.words;
  const { units } = vocabulary;

  // The vehicle and its papers

  function vinField() {
    const told = made("p", { class: "bay-note", id: "vin-told", role: "status" });
    const tell = () => {
      const vin = page.entries.vin || "";
      const digit = bay.vin.checkDigit(vin);
      const strange = bay.vin.hasStrangeSign(vin);
      const short = vin ? filled(say.vin_short, { count: vin.length }) : "";
      const whole = digit === vin[8] ? say.vin_right : filled(say.vin_wrong, { digit });
      told.textContent = strange ? say.vin_signs : digit === null ? short : whole;
    };
    const entered = (value) => {
      page.entries.vin = value.toUpperCase().replace(/\s/g, "");
      const year =
        bay.vin.checkDigit(page.entries.vin) === page.entries.vin[8] ? bay.vin.modelYear(page.entries.vin) : null;
      const field = document.getElementById("year");
      if (year && field && !field.value) page.entries.year = field.value = String(year);
      tell();
      keep();
    };
    const field = text("vin", say.vin, page.entries.vin, entered, {
      maxlength: 20,
      autocapitalize: "characters",
      spellcheck: "false",
      "aria-describedby": "vin-told",
    });
    field.append(told);
    tell();
    if ("BarcodeDetector" in globalThis) field.append(barcodeWay(entered));
    return field;
  }

  /** Read the VIN with the device's barcode reader from a photo of the door label. Code 39 may begin with an I. */
  function barcodeWay(entered) {
    const read = async () => {
      try {
        const found = await new BarcodeDetector().detect(await createImageBitmap(input.files[0]));
        const vin = found
          .map(({ rawValue }) => rawValue.trim().replace(/^I/, ""))
          .find((code) => /^[A-HJ-NPR-Z0-9]{17}$/.test(code));
        if (!vin) throw new Error("none");
        document.getElementById("vin").value = vin;
        entered(vin);
      } catch {
        document.getElementById("vin-told").textContent = say.vin_unread;
      }
    };
    const input = made("input", {
      type: "file",
      accept: "image/*",
      capture: "environment",
      "aria-label": say.vin_scan,
      onchange: read,
    });
    return made("label", { class: "bay-button bay-file" }, input, made("span", {}, say.vin_scan));
  }

  const field = (of, key, words, more) => text(key, words, of[key], set(of, key), more);
  const pickedFrom = (of, key, choices) => picked(key, say[key], choices, of[key], setAndShow(of, key), say);
  const named = (keys) => Object.entries(keys).map(([key, words]) => ({ key, words: say[words] }));

  function vehicleStep() {
    const { entries } = page;
    const timings = named({ belt: "belt", chain: "chain" });
    return [
      field(entries, "stock", say.stock, { autocapitalize: "characters", maxlength: 40 }),
      vinField(),
      field(entries, "year", say.year, { inputmode: "numeric", maxlength: 4 }),
      field(entries, "make", say.make, { maxlength: 80 }),
      field(entries, "model", say.model, { maxlength: 80 }),
      ...["body", "drive", "fuel", "terms"].map((key) => pickedFrom(entries, key, vocabulary[key])),
      vocabulary.locations.length
        ? picked(
            "location",
            say.location,
            vocabulary.locations,
            entries.location,
            setAndShow(entries, "location"),
            say,
          )
        : null,
      entries.terms === "warranty" ? field(entries, "warranty", say.warranty_words, { rows: 3 }) : null,
      fold("more-of-vehicle", say.more_of_vehicle, [
        field(entries, "trim", say.trim, { maxlength: 80 }),
        pickedFrom(entries, "transmission", vocabulary.transmission),
        field(entries, "engine", say.engine, {}),
        pickedFrom(entries, "timing", timings),
        field(entries, "doors", say.doors, { inputmode: "numeric", maxlength: 1 }),
        field(entries, "seats", say.seats, { inputmode: "numeric", maxlength: 2 }),
        field(entries, "color", say.color, {}),
        field(entries, "interior", say.interior, {}),
      ]),
    ];
  }

  function papersStep() {
    const { entries } = page;
    const brands = named({ "": "brand_unseen", none: "brand_none", some: "brand_some" });
    const recalls = named({ "": "recalls_unseen", none: "recalls_none", some: "recalls_some" });
    const statements = named({
      actual: "statement_actual",
      "not actual": "statement_not_actual",
      "exceeds mechanical limits": "statement_exceeds",
      exempt: "statement_exempt",
    });
    const lookedUp = (value) => {
      if (value && !entries.recalls_on) entries.recalls_on = page.today();
      setAndShow(entries, "recalls")(value);
    };
    return [
      field(entries, "odometer", filled(say.odometer, { unit: units.distance }), {
        inputmode: "numeric",
        maxlength: 9,
      }),
      field(entries, "read_on", say.read_on, { type: "date" }),
      picked("statement", say.statement, statements, entries.statement, setAndShow(entries, "statement"), {
        choose: say.statement_unsaid,
      }),
      choice("brand", say.brand, brands, entries.brand, setAndShow(entries, "brand")),
      entries.brand === "some" ? field(entries, "brand_words", say.brand_words, {}) : null,
      choice("recalls", say.recalls, recalls, entries.recalls, lookedUp),
      entries.recalls === "some" ? field(entries, "recalls_words", say.recalls_words, { rows: 3 }) : null,
      entries.recalls ? field(entries, "recalls_on", say.recalls_on, { type: "date" }) : null,
    ];
  }

  function offerStep() {
    const { entries } = page;
    const answers = named({ has: "has", lacks: "lacks", "": "unseen" });
    const equipment = part(entries, "equipment");
    return [
      field(entries, "price", filled(say.price, { currency: units.currency }), {
        inputmode: "numeric",
        maxlength: 12,
      }),
      ...vocabulary.equipment.map(({ key, words }) =>
        choice(`has-${key}`, words, answers, equipment[key], setAndShow(equipment, key), "bay-finding bay-three"),
      ),
      field(entries, "has_more", say.has_more, { rows: 3 }),
      field(entries, "lacks_more", say.lacks_more, { rows: 3 }),
      field(entries, "notes", say.notes, { rows: 4 }),
    ];
  }

  // Wheels

  function tireFields(wheel, kinds) {
    const { entries } = page;
    const tire = part(part(entries, "tires"), wheel.key);
    const known = wheels.map((other) => entries.tires[other.key]?.size).find(Boolean);
    const isHidden = tire.date_code === "not visible";
    const unit = say[units.tread];
    return [
      field(tire, "size", say.size, { autocapitalize: "characters", maxlength: 40 }),
      known && !tire.size
        ? button(filled(say.same_size, { size: known }), () => setAndShow(tire, "size")(known))
        : null,
      isHidden ? null : field(tire, "date_code", say.date_code, { inputmode: "numeric", maxlength: 4 }),
      isHidden || !tire.date_code
        ? toggle("code-hidden", say.code_hidden, isHidden, (is) =>
            setAndShow(tire, "date_code")(is ? "not visible" : ""),
          )
        : null,
      ...["outer", "center", "inner"].map((place) =>
        ruler(place, `${say[place]}, ${unit}`, wheel.tread, tire[place], setAndShow(tire, place), say),
      ),
      fold("more-of-tire", say.tire_more, [
        picked("kind", say.tire_kind, kinds, tire.kind, setAndShow(tire, "kind"), say),
        field(tire, "pressure", filled(say.pressure, { unit: units.pressure }), {
          inputmode: "decimal",
          placeholder: say.not_measured,
        }),
      ]),
    ];
  }

  const ROAD_TIRES = {
    "all-season": "tire_all_season",
    summer: "tire_summer",
    winter: "tire_winter",
    "all-terrain": "tire_all_terrain",
    "mud-terrain": "tire_mud_terrain",
  };

  function brakeFields(wheel) {
    const brake = part(part(page.entries, "brakes"), wheel.key);
    const kinds = named({ "": "not_seen", disc: "disc", drum: "drum" });
    const asked = [choice("brake_kind", say.brake_kind, kinds, brake.kind, setAndShow(brake, "kind"))];
    if (!brake.kind) return asked;
    const words = {
      inner: say.pad_inner,
      outer: say.pad_outer,
      leading: say.shoe_leading,
      trailing: say.shoe_trailing,
    };
    const metal = METAL[brake.kind];
    const discard = `${metal}_discard`;
    const discards = named({ "": "not_seen", marked: "discard_marked", "not marked": "discard_unmarked" });
    const told = made("p", { class: "bay-told", role: "status" });
    const tell = () => {
      told.textContent = isBeyondDiscard(brake) ? filled(say[`hold_${metal}`], { what: wheel.words }) : "";
    };
    const figure = (key, label, more) => {
      const entered = (value) => {
        set(brake, key)(value);
        tell();
      };
      return text(key, label, brake[key], entered, { inputmode: "decimal", ...more });
    };
    tell();
    return [
      ...asked,
      ...LININGS[brake.kind].map((side) =>
        ruler(
          `lining-${side}`,
          `${words[side]}, ${say.millimeters}`,
          wheel.lining,
          brake[side],
          setAndShow(brake, side),
          say,
        ),
      ),
      figure(metal, say[`metal_${metal}`], { placeholder: say.not_measured }),
      choice(discard, say.discard, discards, brake[discard], setAndShow(brake, discard)),
      brake[discard] === "marked" ? figure(`${discard}_at`, say.discard_at, {}) : null,
      told,
    ];
  }

  function wheelStep(key) {
    if (key === "spare") return spareStep();
    const wheel = wheels.find((one) => one.key === key);
    return [
      ...tireFields(wheel, named(ROAD_TIRES)),
      made("h3", {}, filled(say.step_brake, { what: wheel.words })),
      ...brakeFields(wheel),
      made("p", { class: "bay-note" }, say.caution),
    ];
  }

  function spareStep() {
    const { entries } = page;
    return [
      field(entries, "placard_size", say.placard_size, { autocapitalize: "characters", maxlength: 40 }),
      made("h3", {}, say.no_spare),
      ...tireFields(vocabulary.spare, named({ "temporary spare": "tire_temporary_spare", ...ROAD_TIRES })),
    ];
  }

  // Battery, fluids, paint

  function fluidsStep() {
    const { entries } = page;
    const fluids = part(entries, "fluids");
    const paint = part(entries, "paint");
    const figure = (key, mode = "decimal", words = fluidWords(key, vocabulary)) =>
      field(fluids, key, words, { inputmode: mode, placeholder: say.not_measured });
    const paintUnits = units.paint.map((unit) => ({ key: unit, words: unit }));
    const traction = isDrivenByBattery(entries, vocabulary)
      ? [
          made("h3", {}, say.traction),
          figure("health"),
          pickedFrom(fluids, "method", vocabulary.method),
          figure("range"),
        ]
      : [];
    return [
      made("h3", {}, say.battery),
      figure("tested"),
      figure("rated"),
      figure("volts"),
      field(fluids, "rested", say.rested, { inputmode: "numeric" }),
      field(fluids, "fitted_on", say.fitted_on, { type: "month", placeholder: "2023-03" }),
      ...traction,
      made("h3", {}, say.fluids),
      figure("moisture"),
      pickedFrom(fluids, "grade", vocabulary.grade),
      figure("freezes_at", "text"),
      made("p", { class: "bay-note" }, say.caution),
      fold("paint", say.paint, [
        made("p", { class: "bay-note" }, say.paint_help),
        choice(
          "paint_unit",
          say.paint_unit,
          paintUnits,
          entries.paint_unit || units.paint[0],
          setAndShow(entries, "paint_unit"),
        ),
        ...vocabulary.panels.map(({ key, words }) =>
          text(`paint-${key}`, `${words}, ${entries.paint_unit || units.paint[0]}`, paint[key], set(paint, key), {
            inputmode: "decimal",
            placeholder: say.not_measured,
          }),
        ),
      ]),
    ];
  }

  return { vehicle: vehicleStep, papers: papersStep, offer: offerStep, wheel: wheelStep, fluids: fluidsStep };
};
