// The steps for the identity and the measurements of a vehicle: their fields, and the entries they write.
"use strict";
globalThis.bay = globalThis.bay || {};

/** `page` is what bay.js lends: the vocabulary, the entries of the vehicle that is open, and how a change is kept. */
bay.measuring = (page) => {
  const { made, text, choice, ruler, picked, button, fold, toggle } = bay.entries;
  const { filled, isDrivenByBattery, fluidWords, isBeyondDiscard, LININGS, METAL } = bay.limits;
  const { vocabulary, set, setAndShow, part, keep, was } = page;
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
      was: was(page.entries, "vin"),
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

  const field = (of, key, words, more) => text(key, words, of[key], set(of, key), { was: was(of, key), ...more });
  const pickedFrom = (of, key, choices, words = say[key]) =>
    picked(key, words, choices, of[key], setAndShow(of, key), say, was(of, key, choices));
  const chosen = (of, key, words, choices, tell = setAndShow(of, key), look = "", id = key) =>
    choice(id, words, choices, of[key], tell, look, was(of, key, choices));
  const measured = (of, key, words, marks, id = key) =>
    ruler(id, words, marks, of[key], setAndShow(of, key), say, was(of, key, marks));
  const named = (keys) => Object.entries(keys).map(([key, words]) => ({ key, words: say[words] }));

  function vehicleStep() {
    const { entries } = page;
    return [
      page.known ? null : field(entries, "stock", say.stock, { autocapitalize: "characters", maxlength: 40 }),
      vinField(),
      field(entries, "year", say.year, { inputmode: "numeric", maxlength: 4 }),
      field(entries, "make", say.make, { maxlength: 80 }),
      field(entries, "model", say.model, { maxlength: 80 }),
      ...["body", "drive", "fuel", "terms"].map((key) => chosen(entries, key, say[key], vocabulary[key])),
      vocabulary.locations.length ? pickedFrom(entries, "location", vocabulary.locations) : null,
      page.seen.terms === "warranty" ? field(entries, "warranty", say.warranty_words, { rows: 3 }) : null,
      fold("more-of-vehicle", say.more_of_vehicle, [
        field(entries, "trim", say.trim, { maxlength: 80 }),
        pickedFrom(entries, "transmission", vocabulary.transmission),
        field(entries, "engine", say.engine, {}),
        field(entries, "liters", say.liters, { inputmode: "decimal", maxlength: 4 }),
        field(entries, "cylinders", say.cylinders, { inputmode: "numeric", maxlength: 2 }),
        field(entries, "doors", say.doors, { inputmode: "numeric", maxlength: 1 }),
        field(entries, "seats", say.seats, { inputmode: "numeric", maxlength: 2 }),
        field(entries, "color", say.color, {}),
        field(entries, "interior", say.interior, {}),
        field(entries, "gross_weight_pounds", say.gross_weight_pounds, { inputmode: "numeric", maxlength: 5 }),
        field(entries, "front_axle_pounds", say.front_axle_pounds, { inputmode: "numeric", maxlength: 5 }),
        field(entries, "rear_axle_pounds", say.rear_axle_pounds, { inputmode: "numeric", maxlength: 5 }),
      ]),
    ];
  }

  /** Who looks, when, and at what reading. */
  function todayStep() {
    const { entries } = page;
    const named = (value) => {
      set(entries, "by")(value);
      page.setDevice("by", value);
    };
    return [
      field(entries, "odometer", filled(say.odometer, { unit: units.distance }), {
        inputmode: "numeric",
        maxlength: 9,
      }),
      page.known ? null : field(entries, "read_on", say.read_on, { type: "date" }),
      text("by", say.by, entries.by, named, { was: was(entries, "by") }),
      gaugesFold(),
    ];
  }

  /** The gauges, once per device: each vehicle that is measured with it names them. */
  function gaugesFold() {
    const gauges = part(page.entries, "gauges");
    return fold("gauges", say.gauges, [
      made("p", { class: "bay-note" }, say.gauges_help),
      ...vocabulary.gauges.map(({ key, words, steps }) => {
        const gauge = part(gauges, key);
        const told = (name) => (value) => {
          gauge[name] = value;
          page.setDevice("gauges", gauges);
          keep();
        };
        return made(
          "div",
          { class: "bay-card" },
          text(`gauge-${key}`, words, gauge.name, told("name"), {}),
          steps.length ? choice(`reads-${key}`, say.reads_to, steps, gauge.reads_to, told("reads_to")) : null,
        );
      }),
    ]);
  }

  // Wheels

  function tireFields(wheel, kinds) {
    const { entries } = page;
    const tire = part(part(entries, "tires"), wheel.key);
    const known = page.wheels.map((other) => page.seen.tires?.[other.key]?.size).find(Boolean);
    const isHidden = tire.date_code === "not visible";
    const unit = say[units.tread];
    const other = page.wheels.find(({ key }) => key !== wheel.key && page.seen.tires?.[key]?.size);
    return [
      other && !tire.size && !was(tire, "size") && wheel.key !== "spare"
        ? button(filled(say.same_tire, { size: known }), () => sameTire(tire, page.seen.tires[other.key]))
        : null,
      field(tire, "size", say.size, { autocapitalize: "characters", maxlength: 40 }),
      isHidden ? null : field(tire, "date_code", say.date_code, { inputmode: "numeric", maxlength: 4 }),
      isHidden || (!tire.date_code && !was(tire, "date_code"))
        ? toggle("code-hidden", say.code_hidden, isHidden, (is) =>
            setAndShow(tire, "date_code")(is ? "not visible" : ""),
          )
        : null,
      wheel.key === "spare"
        ? null
        : alike(tire, ["outer", "center", "inner"], `${say.all_three}, ${unit}`, wheel.tread),
      ...["outer", "center", "inner"].map((place) => measured(tire, place, `${say[place]}, ${unit}`, wheel.tread)),
      fold("more-of-tire", say.tire_more, [
        pickedFrom(tire, "kind", kinds, say.tire_kind),
        field(tire, "pressure", filled(say.pressure, { unit: units.pressure }), {
          inputmode: "decimal",
          placeholder: say.not_measured,
        }),
      ]),
    ];
  }

  /** The same size, kind and date code as on another wheel: what differs is typed over it. */
  function sameTire(tire, other) {
    for (const key of ["size", "kind", "date_code"]) if (other[key]) tire[key] = other[key];
    keep();
    page.show();
  }

  /** A ruler that sets several figures at once. Each has a ruler of its own below, for one that differs. */
  function alike(of, places, words, marks) {
    const same = places.every((place) => of[place] && of[place] === of[places[0]]) ? of[places[0]] : "";
    const tell = (value) => {
      for (const place of places) of[place] = value;
      keep();
      page.show();
    };
    return ruler(`alike-${places.join("-")}`, words, marks, same, tell, {
      ...say,
      not_measured: say.not_alike,
      below: "",
    });
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
    const unseen = (key) => (was(brake, key) ? "as_before" : "not_seen");
    const kinds = named({ "": unseen("kind"), disc: "disc", drum: "drum" });
    const mate = vocabulary.axles
      .find(({ wheels }) => wheels.includes(wheel.key))
      .wheels.find((key) => key !== wheel.key);
    const other = page.entries.brakes[mate];
    const asked = [
      other?.kind && !brake.kind && !was(brake, "kind")
        ? button(say.same_brake, () => sameBrake(brake, other))
        : null,
      chosen(brake, "kind", say.brake_kind, kinds, setAndShow(brake, "kind"), "", "brake_kind"),
    ];
    const seen = page.seen.brakes?.[wheel.key] || {};
    if (!seen.kind) return asked;
    const words = {
      inner: say.pad_inner,
      outer: say.pad_outer,
      leading: say.shoe_leading,
      trailing: say.shoe_trailing,
    };
    const metal = METAL[seen.kind];
    const discard = `${metal}_discard`;
    const discards = named({ "": unseen(discard), marked: "discard_marked", "not marked": "discard_unmarked" });
    const told = made("p", { class: "bay-told", role: "status" });
    const tell = () => {
      told.textContent = isBeyondDiscard(page.seen.brakes[wheel.key])
        ? filled(say[`hold_${metal}`], { what: wheel.words })
        : "";
    };
    const figure = (key, label, more) => {
      const entered = (value) => {
        set(brake, key)(value);
        tell();
      };
      return text(key, label, brake[key], entered, { inputmode: "decimal", was: was(brake, key), ...more });
    };
    tell();
    return [
      ...asked,
      alike(brake, LININGS[seen.kind], `${say[`both_${seen.kind}`]}, ${say.millimeters}`, wheel.lining),
      ...LININGS[seen.kind].map((side) =>
        measured(brake, side, `${words[side]}, ${say.millimeters}`, wheel.lining, `lining-${side}`),
      ),
      figure(metal, say[`metal_${metal}`], { placeholder: say.not_measured }),
      chosen(brake, discard, say.discard, discards),
      seen[discard] === "marked" ? figure(`${discard}_at`, say.discard_at, {}) : null,
      told,
    ];
  }

  /** The same kind of brake, with the same figure marked on it, as on the other side of the axle. */
  function sameBrake(brake, other) {
    const metal = METAL[other.kind];
    for (const key of ["kind", `${metal}_discard`, `${metal}_discard_at`]) if (other[key]) brake[key] = other[key];
    keep();
    page.show();
  }

  /** The promise beside what is below its limit, once it is. */
  function promised(group, wheel, usual) {
    const of = part(part(page.entries, group), wheel.key);
    const held = bay.limits
      .concerns(page.seen, vocabulary)
      .find(({ where }) => where.startsWith(`${group}.${wheel.key}.`));
    return held
      ? page.answers.promise(`promise-${group}`, of, held.words, filled(usual, { what: wheel.words }))
      : null;
  }

  function wheelStep(key) {
    if (key === "spare") return spareStep();
    const wheel = page.wheels.find((one) => one.key === key);
    return [
      ...tireFields(wheel, named(ROAD_TIRES)),
      promised("tires", wheel, say.promise_tire),
      ...(wheel.lining
        ? [
            made("h3", {}, filled(say.step_brake, { what: wheel.words })),
            ...brakeFields(wheel),
            promised("brakes", wheel, say.promise_brake),
          ]
        : []),
      page.wheelPhotos(wheel),
      made("p", { class: "bay-note" }, say.caution),
    ];
  }

  function spareStep() {
    const { entries } = page;
    const onWheel = page.seen.tires?.left_front?.size;
    const two = named({ "": "wheels_single", dual: "wheels_dual" });
    return [
      onWheel && !entries.placard_size && !was(entries, "placard_size")
        ? button(filled(say.same_placard, { size: onWheel }), () => setAndShow(entries, "placard_size")(onWheel))
        : null,
      field(entries, "placard_size", say.placard_size, { autocapitalize: "characters", maxlength: 40 }),
      fold("more-of-label", say.more_of_label, [
        field(entries, "placard_size_rear", say.placard_size_rear, { autocapitalize: "characters", maxlength: 40 }),
        field(entries, "placard_pressure", filled(say.placard_pressure, { unit: units.pressure }), {
          inputmode: "decimal",
        }),
        field(entries, "placard_pressure_rear", filled(say.placard_pressure_rear, { unit: units.pressure }), {
          inputmode: "decimal",
        }),
        chosen(entries, "dual_rear", say.rear_wheels, two),
      ]),
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
    const traction = isDrivenByBattery(page.seen, vocabulary)
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
      figure("boils_at"),
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
            was: was(paint, key),
            inputmode: "decimal",
            placeholder: say.not_measured,
          }),
        ),
      ]),
    ];
  }

  return { today: todayStep, vehicle: vehicleStep, wheel: wheelStep, fluids: fluidsStep };
};
