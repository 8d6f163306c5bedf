/**
 * Kinds of quantity, their canonical unit, and the units a header or a cell may carry.
 *
 * Factors are exact by definition: inch 25.4 mm, foot 0.3048 m, pound 0.45359237 kg, US gallon 231 in³,
 * standard gravity 9.80665 m/s². 1 SG is 1000 kg/m³; the water figures 8.33 and 8.345 are never used as its constant.
 */
export type Quantity =
  | "time"
  | "days"
  | "count"
  | "money"
  | "density"
  | "viscosity"
  | "stress"
  | "dial"
  | "percent"
  | "concentration"
  | "flow"
  | "length"
  | "depth"
  | "temperature"
  | "velocity"
  | "pressure";

export interface Unit {
  /** how we write it */
  readonly symbol: string;
  /** canonical = value × factor + offset */
  readonly factor: number;
  readonly offset: number;
  /** how shops write it, lower case, without spaces, dots, brackets or carets */
  readonly aliases: readonly string[];
}

const INCH_MM = 25.4;
const FOOT_M = 0.3048;
const POUND_KG = 0.45359237;
const GALLON_L = (INCH_MM ** 3 * 231) / 1e6;
const BARREL_L = 42 * GALLON_L;
const GRAVITY = 9.80665;
const POUND_FORCE_N = POUND_KG * GRAVITY;

function unit(symbol: string, factor: number, aliases: string, offset = 0): Unit {
  return {symbol, factor, offset, aliases: aliases === "" ? [] : aliases.split(" ")};
}

/** The first unit of each quantity is the canonical one. */
export const UNITS: Readonly<Record<Quantity, readonly Unit[]>> = {
  time: [
    unit("h", 1, "h hr hrs hour hours std stunden heures horas"),
    unit("min", 1 / 60, "min mins minute minutes"),
    unit("d", 24, "d day days"),
  ],
  days: [unit("d", 1, "d day days tage"), unit("h", 1 / 24, "h hr hrs hour hours"), unit("wk", 7, "wk wks week weeks")],
  count: [
    unit("", 1, "count no nos ea pcs pulses strokes cycles"),
    unit("thousand", 1000, "k thousand x1000 1000s kpulses"),
  ],
  money: [unit("", 1, "usd $ us$ eur € gbp £ nok cad aud"), unit("thousand", 1000, "k$ kusd keur k€ $k")],
  density: [
    unit("kg/m³", 1, "kg/m3 kgm3 kg/m³ kgpm3"),
    unit("SG", 1000, "sg s.g specificgravity g/cc g/cm3 g/cm³ gcc kg/l kg/litre g/ml t/m3"),
    unit("lb/gal", POUND_KG / (GALLON_L / 1000), "ppg lb/gal lbs/gal lbm/gal lbgal lbpergal #/gal"),
    unit("lb/ft³", POUND_KG / FOOT_M ** 3, "pcf lb/ft3 lb/cuft lbs/ft3"),
    unit("psi/ft", POUND_FORCE_N / (INCH_MM / 1000) ** 2 / FOOT_M / GRAVITY, "psi/ft"),
  ],
  viscosity: [
    unit("mPa·s", 1, "mpas mpa*s mpa-s mpa·s"),
    unit("cP", 1, "cp cps centipoise"),
    unit("Pa·s", 1000, "pas pa*s pa·s"),
  ],
  stress: [
    unit("Pa", 1, "pa"),
    unit(
      "lbf/100 ft²",
      POUND_FORCE_N / (100 * FOOT_M ** 2),
      "lbf/100ft2 lb/100ft2 lbs/100ft2 lbf/100ft² lb/100ft² lbf/100sqft lb/100sqft lb/100sf #/100ft2 lb/hft2 lbf/hft2",
    ),
    unit("dyn/cm²", 0.1, "dyn/cm2 dyne/cm2 dynes/cm2"),
  ],
  dial: [unit("°", 1, "deg degree degrees dial reading")],
  percent: [
    unit("%", 1, "% pct percent vol% %vol %v/v v/v% vol percentbyvolume"),
    unit("fraction", 100, "fraction frac v/v"),
  ],
  concentration: [
    unit("kg/m³", 1, "kg/m3 kgm3 kg/m³"),
    unit("lb/bbl", POUND_KG / (BARREL_L / 1000), "lb/bbl ppb lbs/bbl lbm/bbl #/bbl"),
    unit("g/L", 1, "g/l"),
  ],
  flow: [
    unit("L/min", 1, "l/min lpm lmin litre/min liter/min litres/min lit/min ltr/min"),
    unit("gal/min", GALLON_L, "gpm gal/min usgpm gallons/min galmin"),
    unit("m³/min", 1000, "m3/min m³/min cbm/min"),
    unit("m³/h", 1000 / 60, "m3/h m³/h m3/hr"),
    unit("L/s", 60, "l/s lps"),
    unit("bbl/min", BARREL_L, "bpm bbl/min"),
    unit("m³/s", 60000, "m3/s m³/s"),
  ],
  length: [
    unit("mm", 1, "mm millimetre millimeter millimetres millimeters"),
    unit("in", INCH_MM, 'in inch inches " ″ ins'),
    unit("1/32 in", INCH_MM / 32, "1/32 1/32in 32nds 32nd"),
    unit("cm", 10, "cm"),
    unit("m", 1000, "m"),
    unit("µm", 0.001, "um µm micron microns"),
    unit("mil", INCH_MM / 1000, "thou mil mils"),
  ],
  depth: [
    unit("m", 1, "m mrkb mmd mbrt metre meter metres meters mtr mts"),
    unit("ft", FOOT_M, "ft feet foot ftmd ftrkb ' ftkb"),
    unit("km", 1000, "km"),
  ],
  temperature: [
    unit("°C", 1, "c °c degc ºc celsius deg.c oc"),
    unit("°F", 5 / 9, "f °f degf ºf fahrenheit deg.f of", -160 / 9),
    unit("K", 1, "k kelvin", -273.15),
  ],
  velocity: [unit("m/s", 1, "m/s mps"), unit("ft/s", FOOT_M, "ft/s fps"), unit("ft/min", FOOT_M / 60, "ft/min fpm")],
  pressure: [
    unit("kPa", 1, "kpa"),
    unit("psi", POUND_FORCE_N / (INCH_MM / 1000) ** 2 / 1000, "psi psig"),
    unit("bar", 100, "bar bars"),
    unit("MPa", 1000, "mpa"),
  ],
};

/**
 * The unit a text names, or null where the quantity has no such unit. Case, spaces, dots, carets and
 * brackets do not matter; `K` against `k` and `MPa` against `mPa` are told apart by the quantity.
 */
export function unitOf(quantity: Quantity, text: string): Unit | null {
  const wanted = plainUnit(text);
  if (wanted === "") return null;
  return UNITS[quantity].find((unit) => plainUnit(unit.symbol) === wanted || unit.aliases.includes(wanted)) ?? null;
}

/**
 * A value in the canonical unit of its quantity.
 *
 * @param unit a symbol or an alias; an unknown unit gives NaN
 * @example convert(450, "flow", "gpm") // 1703.4353028
 */
export function convert(value: number, quantity: Quantity, unit: string): number {
  const known = unitOf(quantity, unit);
  return known === null ? NaN : value * known.factor + known.offset;
}

/** A canonical value in another unit of its quantity; an unknown unit gives NaN. */
export function convertBack(value: number, quantity: Quantity, unit: string): number {
  const known = unitOf(quantity, unit);
  return known === null ? NaN : (value - known.offset) / known.factor;
}

export type UnitSystem = "metric" | "oilfield";

/** The unit in which a page shows a quantity where it is not the canonical one. */
const OILFIELD: Readonly<Partial<Record<Quantity, string>>> = {
  density: "lb/gal",
  viscosity: "cP",
  stress: "lbf/100 ft²",
  concentration: "lb/bbl",
  flow: "gal/min",
  length: "in",
  depth: "ft",
  temperature: "°F",
  velocity: "ft/s",
  pressure: "psi",
};

/** Symbol of the unit a page shows a quantity in. */
export function shownUnit(quantity: Quantity, system: UnitSystem): string {
  return (system === "oilfield" ? OILFIELD[quantity] : undefined) ?? canonicalUnit(quantity);
}

/** Symbol of the unit our columns hold a quantity in. */
export function canonicalUnit(quantity: Quantity): string {
  return UNITS[quantity][0]?.symbol ?? "";
}

function plainUnit(text: string): string {
  return text
    .toLowerCase()
    .replace(/[\s^()[\]]/g, "")
    .replace(/²/g, "2")
    .replace(/³/g, "3")
    .replace(/\.$/, "");
}
