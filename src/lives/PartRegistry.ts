/**
 * Where every serial-tracked part is, and how old it was when it was last taken out.
 *
 * A part is known by fleet, component and serial: two sites may use one range of serials.
 */
export interface ShelvedPart {
  /** age when taken out; NaN where it was not known */
  readonly age: number;
  /** true when it was taken out worn, failed or spoilt */
  readonly spoilt: boolean;
}

export class PartRegistry {
  readonly #components: number;
  readonly #serials: number;
  readonly #fitted = new Map<number, number>();
  readonly #shelved = new Map<number, ShelvedPart>();

  /** @param counts how many component codes and serial codes there are */
  constructor({components, serials}: {readonly components: number; readonly serials: number}) {
    this.#components = components;
    this.#serials = serials;
  }

  /** Identity of a part; -1 without a serial. */
  key(fleet: number, component: number, serial: number): number {
    return serial < 0 ? -1 : ((fleet + 1) * this.#components + component) * this.#serials + serial;
  }

  /** Slot the part sits in, -1 for none. */
  slotOf(part: number): number {
    return this.#fitted.get(part) ?? -1;
  }

  fit(part: number, slot: number): void {
    if (part < 0) return;
    this.#fitted.set(part, slot);
    this.#shelved.delete(part);
  }

  shelve(part: number, shelved: ShelvedPart): void {
    if (part < 0) return;
    this.#fitted.delete(part);
    this.#shelved.set(part, shelved);
  }

  shelved(part: number): ShelvedPart | undefined {
    return this.#shelved.get(part);
  }
}
