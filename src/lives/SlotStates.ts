/** What is in every slot at the moment the log has been read to. One array a fact, one entry a slot. */

/**
 * - `unseen`: no row yet
 * - `followed`: a part of known age
 * - `age unknown`: a part, but its age is not known
 * - `empty`: nothing the log knows of
 */
export const SLOT = {unseen: 0, followed: 1, ageUnknown: 2, empty: 3} as const;

export class SlotStates {
  readonly status: Uint8Array;
  /** age at which the life in the slot came under observation, and the position at which it did */
  readonly entry: Float64Array;
  readonly from: Int32Array;
  /** oldest age at which the part was known to be good */
  readonly lastGood: Float64Array;
  /** position at which it was */
  readonly goodAt: Int32Array;
  /** first age at which it was seen past its limit or failed, though it was kept; NaN for none */
  readonly firstBad: Float64Array;
  /** how much more the shop last counted on the part than the log; negative where it counted less, 0 where they agree */
  readonly apart: Float64Array;
  readonly began: Float64Array;
  readonly beganRow: Int32Array;
  /** position of the last row that looked at the slot */
  readonly seen: Int32Array;
  readonly lastRow: Int32Array;
  readonly serial: Int32Array;
  readonly partNumber: Int32Array;
  readonly lot: Int32Array;
  readonly shop: Int32Array;

  constructor(count: number) {
    this.status = new Uint8Array(count);
    this.entry = new Float64Array(count);
    this.from = new Int32Array(count);
    this.lastGood = new Float64Array(count);
    this.goodAt = new Int32Array(count);
    this.firstBad = new Float64Array(count).fill(NaN);
    this.apart = new Float64Array(count);
    this.began = new Float64Array(count);
    this.beganRow = new Int32Array(count).fill(-1);
    this.seen = new Int32Array(count).fill(-1);
    this.lastRow = new Int32Array(count).fill(-1);
    this.serial = new Int32Array(count).fill(-1);
    this.partNumber = new Int32Array(count).fill(-1);
    this.lot = new Int32Array(count).fill(-1);
    this.shop = new Int32Array(count).fill(-1);
  }
}
