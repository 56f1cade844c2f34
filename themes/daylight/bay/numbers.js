// Parses numbers as people type them on a phone. An ambiguous number is rejected. Pure.
"use strict";
globalThis.bay = globalThis.bay || {};

bay.numbers = (() => {
  const plain = (digits) => digits.replace(/^(-?)0+(?=\d)/, "$1");

  /** Return a whole number without thousands separators: "68,412" and "68 412" are 68412. Null for anything else. */
  function whole(text) {
    const typed = (text || "").trim();
    return /^(\d+|\d{1,3}([,\s]\d{3})+)$/.test(typed) ? plain(typed.replace(/[,\s]/g, "")) : null;
  }

  /** A number whose decimals follow a point or a comma. Null for "1,200", which may be either, and for anything else. */
  function decimal(text) {
    const typed = (text || "").trim().replace("−", "-");
    if (!/^-?(\d+([.,]\d+)?|[.,]\d+)$/.test(typed) || /^-?[1-9]\d{0,2},\d{3}$/.test(typed)) return null;
    return plain(typed.replace(",", ".").replace(/^(-?)\./, "$10."));
  }

  /** Return several numbers separated by spaces, or null if one of them is invalid. */
  function several(text) {
    const numbers = (text || "").trim().split(/\s+/).filter(Boolean).map(decimal);
    return numbers.includes(null) ? null : numbers;
  }

  return { whole, decimal, several };
})();
