/**
 * Where every serial-tracked part is, and how old it was when it was last taken out.
 *
 * A part is known by fleet, component and serial: two sites may use one range of serials. Parts are numbered as they are
 * met; the few that share a serial form a chain, so that finding one costs no hashing.
 */
export class PartRegistry {
  readonly #components: number;
  /** first part of each serial code, and the next one of the same serial; -1 for none */
  readonly #first: Int32Array;
  readonly #next: number[] = [];
  /** fleet and component of each part, as one number */
  readonly #owner: number[] = [];
  /** slot it sits in, -1 for none */
  readonly #slot: number[] = [];
  /** age when last taken out; NaN where it was not known, -1 where it never was */
  readonly #age: number[] = [];
  readonly #spoilt: boolean[] = [];

  /** @param counts how many component codes and serial codes there are */
  constructor({components, serials}: {readonly components: number; readonly serials: number}) {
    this.#components = components;
    this.#first = new Int32Array(serials).fill(-1);
  }

  /** Number of a part; -1 without a serial. */
  part(fleet: number, component: number, serial: number): number {
    if (serial < 0) return -1;
    const owner = (fleet + 1) * this.#components + component;
    for (let part = this.#first[serial]!; part >= 0; part = this.#next[part]!) {
      if (this.#owner[part] === owner) return part;
    }
    const part = this.#owner.push(owner) - 1;
    this.#next.push(this.#first[serial]!);
    this.#first[serial] = part;
    this.#slot.push(-1);
    this.#age.push(-1);
    this.#spoilt.push(false);
    return part;
  }

  /** Slot the part sits in, -1 for none. */
  slotOf(part: number): number {
    return part < 0 ? -1 : this.#slot[part]!;
  }

  fit(part: number, slot: number): void {
    if (part >= 0) this.#slot[part] = slot;
  }

  /** @param age when taken out, NaN where it is not known */
  shelve(part: number, {age, spoilt}: {readonly age: number; readonly spoilt: boolean}): void {
    if (part < 0) return;
    this.#slot[part] = -1;
    this.#age[part] = age;
    this.#spoilt[part] = spoilt;
  }

  /** Whether the log has seen the part come out of a slot before. */
  wasShelved(part: number): boolean {
    return part >= 0 && this.#age[part] !== -1;
  }

  /** Age when last taken out, NaN where it is not known. */
  shelvedAge(part: number): number {
    return this.wasShelved(part) ? this.#age[part]! : NaN;
  }

  /** Whether it was last taken out worn, failed or spoilt. */
  shelvedSpoilt(part: number): boolean {
    return part >= 0 && this.#spoilt[part]!;
  }
}
