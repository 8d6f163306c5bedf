/** Whether the page opens without a network, and whether a newer version waits. Only the built page is kept. */
export class Offline {
  /** `kept`: it opens without a network; `newer`: another version is ready and comes with the next opening */
  status = $state<"not kept" | "kept" | "newer">("not kept");

  /** Begins once the page has what it needs, so that keeping it takes nothing from the first answer. */
  async keep(script: string): Promise<void> {
    if (!("serviceWorker" in navigator)) return;
    try {
      // a page that had a worker already is told of a newer one; a first one is no news
      const had = navigator.serviceWorker.controller !== null;
      const registration = await navigator.serviceWorker.register(script);
      if (registration === undefined) return;
      const watch = (worker: ServiceWorker | null): void => {
        worker?.addEventListener("statechange", () => {
          if (worker.state === "installed" && had) this.status = "newer";
          if (worker.state === "activated") this.status = "kept";
        });
      };
      if (registration.active !== null) this.status = registration.waiting === null ? "kept" : "newer";
      watch(registration.installing);
      registration.addEventListener("updatefound", () => watch(registration.installing));
    } catch {
      // private windows and plain http hosts keep nothing; the page works as before
    }
  }
}
