export {boreVelocity, annulusVelocity} from "./velocity.ts";
export {
  binghamOf,
  readingsOf,
  powerLawPipe,
  powerLawAnnulus,
  herschelBulkley,
  PASCAL_PER_DEGREE_1995,
  PASCAL_PER_DEGREE_2006,
  PASCAL_PER_LBF100FT2,
  type Bingham,
  type Fluid,
  type Readings,
} from "./rheology.ts";
export {
  newtonianReynolds,
  binghamApparentViscosity,
  powerLawReynolds,
  reynolds2006,
  wallStress,
  wallShearRate,
  effectiveViscosity,
  herschelBulkleyReynolds,
  hedstrom,
  type AnnulusConvention,
  type Flow,
  type Passage,
} from "./reynolds.ts";
export {
  criticalReynolds,
  reynoldsClassOf,
  criticalHedstrom,
  criticalHerschelBulkley,
  turbulentCoefficients,
  type ReynoldsClass,
} from "./criticalNumbers.ts";
export {blasiusFriction, powerLawFriction, friction2006, frictionLoss_Pa} from "./friction.ts";
export {jetVelocity, orificePressure_kPa, nozzleArea_mm2, gapArea_mm2, type Throat} from "./orifice.ts";
export {
  fluidOf,
  REYNOLDS_CONVENTION,
  runConditions,
  velocityBandOf,
  proposedBands,
  type RunConditions,
  type VelocityBands,
} from "./runConditions.ts";
