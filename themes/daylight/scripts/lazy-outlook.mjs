// The arithmetic of the outlook, loaded when a reader changes the distance or moves on through the page.

import { outlookFor } from "../components/outlook/outlook-arithmetic.mjs";
import { offer } from "../components/page-frame/lazy-script.mjs";

offer("lazy-outlook.js", { outlookFor });
