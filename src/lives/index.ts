export {buildLives, type BuiltLives} from "./buildLives.ts";
export {LIFE_ENDINGS, endingCode, type Exposure, type LifeEnding, type LifeTable} from "./lifeTable.ts";
export {FAILURE_CLASSES, type FailureClass, type FailureTable} from "./failureTable.ts";
