/**
 * What made a derived picture. Kept beside it, so that it can be told which ones are to be made anew
 * when a function changes; `version` is bumped with every change that gives other bytes.
 */
export const PYRAMID_PARAMETERS = { tilePx: 256, quality: 88 } as const;
export const PREVIEW_PARAMETERS = { longEdgePx: 2048, quality: 84 } as const;

export const PYRAMID_PROVENANCE = {
  function: 'imaging.pyramid',
  version: 1,
  parameters: PYRAMID_PARAMETERS,
} as const;

export const PREVIEW_PROVENANCE = {
  function: 'imaging.preview',
  version: 1,
  parameters: PREVIEW_PARAMETERS,
} as const;
