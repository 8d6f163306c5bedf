/** What a page under change needs and a page that is read does not: fetched together when someone begins to change one. */
export {default as AddHere} from "./AddHere.svelte";
export {default as BlockFrame} from "./BlockFrame.svelte";
export {default as ChangeBar} from "./ChangeBar.svelte";
export {default as PageParticulars} from "./PageParticulars.svelte";
