// Check digit and model year of a VIN. Source: 49 CFR 565.15(c), (d), Tables III to VII; the same as in the reader. Pure.
"use strict";
globalThis.bay = globalThis.bay || {};

bay.vin = (() => {
  const SIGNS = "0123456789ABCDEFGHJKLMNPRSTUVWXYZ";
  const LETTERS = "ABCDEFGHJKLMNPRSTUVWXYZ";
  const VALUES = [1, 2, 3, 4, 5, 6, 7, 8, 1, 2, 3, 4, 5, 7, 9, 2, 3, 4, 5, 6, 7, 8, 9];
  const WEIGHTS = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2];
  const YEARS = "ABCDEFGHJKLMNPRSTVWXY123456789";

  const signValue = (sign) => (/\d/.test(sign) ? Number(sign) : VALUES[LETTERS.indexOf(sign)]);

  /** Return the check digit for position 9, or null unless there are 17 permitted characters. */
  function checkDigit(vin) {
    if (vin.length !== 17 || [...vin].some((sign) => !SIGNS.includes(sign))) return null;
    const remainder = [...vin].reduce((sum, sign, place) => sum + signValue(sign) * WEIGHTS[place], 0) % 11;
    return remainder === 10 ? "X" : String(remainder);
  }

  /** Return the model year of a light vehicle: a digit in position 7 means 1980 to 2009, a letter 2010 to 2039. */
  function modelYear(vin) {
    const place = YEARS.indexOf(vin[9] || "?");
    return vin.length === 17 && place >= 0 ? (/\d/.test(vin[6]) ? 1980 : 2010) + place : null;
  }

  return { checkDigit, modelYear, hasStrangeSign: (vin) => [...vin].some((sign) => !SIGNS.includes(sign)) };
})();
