/** Starts the page: the shell at once, the logs in workers behind it. */
import {mount} from "svelte";
import App from "./App.svelte";
import {Offline} from "./offline/Offline.svelte.ts";
import {Book} from "./state/Book.svelte.ts";
import {Keeper} from "./state/Keeper.svelte.ts";
import {Preferences} from "./state/preferences.svelte.ts";
import {Shelf} from "./state/Shelf.svelte.ts";
import {WorkerPool, type WorkerLike} from "./worker/WorkerPool.ts";

performance.mark("wearbook:code");

const makeWorker = (): WorkerLike => new Worker(new URL("./worker/logWorker.ts", import.meta.url), {type: "module"});

const book = new Book(new WorkerPool(makeWorker), new Keeper());
const shelf = new Shelf(book.files);
const offline = new Offline();
const target = document.getElementById("page");
if (target === null) throw new Error("index.html must hold an element with id page");
target.replaceChildren();
mount(App, {target, props: {book, shelf, offline, preferences: new Preferences()}});
const started = book.start(new URL("./data/logs.json", document.baseURI).href);
// only the built page is kept: while developing, its files change under the reader's hands
if (import.meta.env.PROD) void started.then(() => offline.keep("./offline.js"));
