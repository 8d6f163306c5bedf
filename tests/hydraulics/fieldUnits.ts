/** Field units of the worked examples into SI, from their definitions (inch, pound, US gallon, g). */
export const mmOfInch = 25.4;
export const lpmOfGpm = 3.785411784;
export const kgm3OfPpg = 0.45359237 / 0.003785411784;
export const mpsOfFtps = 0.3048;
export const mOfInch = 0.0254;
export const mOfFoot = 0.3048;
export const paOfPsi = 6894.757293;
/** 1 lbf·sⁿ/100 ft² is 478.8 "equivalent cP" */
export const pasnOfEqCp = 0.001;
export const paOfLbf100ft2 = 0.4788025898;
