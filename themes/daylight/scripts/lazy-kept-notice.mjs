// The notice of what changed since a link was kept, loaded when a page is opened by such a link.

import { enhance } from "../components/kept/kept-notice.mjs";
import { offer } from "../components/page-frame/lazy-script.mjs";

offer("lazy-kept-notice.js", { enhance });
