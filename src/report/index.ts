export {basisOf, type ReportBasis} from "./basis.ts";
export {originOf} from "./origin.ts";
export {pictureOf, type Draw, type Picture} from "./picture.ts";
export {PICTURE_SIZES, SIZE_LABELS, type PictureSize} from "./pictureSizes.ts";
export {reportIndex, type ListedPage} from "./reportIndex.ts";
export {reportPage, type ReportBlock, type ReportFrame, type ReportLink, type ReportPage} from "./reportPage.ts";
export type {ReportFonts} from "./reportStyle.ts";
