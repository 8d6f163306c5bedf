/** fast-check with one seed for all property tests here, so that every run tries the same cases. */
import fc from "fast-check";

fc.configureGlobal({...fc.readConfigureGlobal(), seed: 20260111});

export default fc;
