/** Where a picture of a figure goes. */
export const PICTURE_SIZES = ["page", "slide", "print"] as const;
export type PictureSize = (typeof PICTURE_SIZES)[number];

/** What each size is for, as the reader chooses it. */
export const SIZE_LABELS: Readonly<Record<PictureSize, string>> = {
  page: "page",
  slide: "slide, 16:9",
  print: "print, 170 mm",
};
