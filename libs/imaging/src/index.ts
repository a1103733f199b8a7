export type { PictureRegion, Probe, RenderPlan } from './decode-protocol.js';
export type { ExifFields } from './exif-fields.js';
export { Imaging, type ImagingOptions, type RgbPixels } from './imaging.js';
export { ImagingError, type ImagingFault } from './imaging-error.js';
export { DEFAULT_IMAGING_LIMITS, type ImagingLimits } from './imaging-limits.js';
export type { MediaFormat } from './media-format.js';
export { PREVIEW_PROVENANCE, PYRAMID_PROVENANCE } from './provenance.js';
export type { ReadAt } from './tiff-directory.js';
export { type PyramidLevel, readTileTable, type TileTable, tileAsJpeg } from './tile-table.js';
