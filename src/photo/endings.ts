/** What photographs are called: for choosing files only, what they are their bytes say. */
export const RAW_ENDINGS = [
  ...['.dng', '.cr2', '.cr3', '.crw', '.nef', '.nrw', '.arw', '.sr2', '.raf', '.orf', '.rw2'],
  ...['.pef', '.srw', '.x3f', '.mrw', '.raw'],
] as const;

export const PHOTO_ENDINGS: readonly string[] = [
  ...['.png', '.jpg', '.jpeg', '.tif', '.tiff', '.heic', '.heif'],
  ...RAW_ENDINGS,
];
