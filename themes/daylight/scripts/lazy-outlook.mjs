// The arithmetic and the words of the outlook, loaded when a reader changes the distance or counts from today.

import { outlookFor } from "../components/outlook/outlook-arithmetic.mjs";
import { speaker } from "../components/outlook/outlook-words.mjs";
import { offer } from "../components/page-frame/lazy-script.mjs";

offer("lazy-outlook.js", { outlookFor, speaker });
