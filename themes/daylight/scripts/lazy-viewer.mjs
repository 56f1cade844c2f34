// The photo viewer, loaded when the first photo is opened.

import { offer } from "../components/page-frame/lazy-script.mjs";
import { show } from "../components/viewer/viewer-dialog.mjs";

offer("lazy-viewer.js", { show });
