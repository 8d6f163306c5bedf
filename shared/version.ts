/** The version of the program, as it stands on reports and saved pages. */
import {version} from "../package.json";

export const VERSION: string = version;
