// The moment of a visit, and the name of its file, for the bay page and the desk's film page. Pure.
"use strict";
globalThis.moments = (() => {
  const two = (number) => String(Math.abs(number)).padStart(2, "0");

  /** The day and time by the device's clock, with its offset from UTC: 2026-10-15T14:12-05:00. */
  function momentOf(now) {
    const east = -now.getTimezoneOffset();
    const day = [now.getFullYear(), two(now.getMonth() + 1), two(now.getDate())].join("-");
    const zone = `${east < 0 ? "-" : "+"}${two(Math.trunc(east / 60))}:${two(east % 60)}`;
    return `${day}T${two(now.getHours())}:${two(now.getMinutes())}${zone}`;
  }

  /** The name of a visit's file, by its moment: 2026-10-15-1412. */
  const nameOf = (moment) => `${moment.slice(0, 10)}-${moment.slice(11, 13)}${moment.slice(14, 16)}`;

  return { momentOf, nameOf };
})();
