/** How every number of the studio is come by. A number whose kind is not named here is a type error. */
import { barsFigures } from './bars-figures.js';
import { bulgeFigures } from './bulge-figures.js';
import { drawingFigures } from './drawing-figures.js';
import { findingFigures } from './finding-figures.js';
import { glassFigures } from './glass-figures.js';
import { rubbingFigures } from './rubbing-figures.js';
import { shardsFigures } from './shards-figures.js';
import { weightFigures } from './weight-figures.js';
import { workFigures } from './work-figures.js';

export const explanations = {
  ...drawingFigures,
  ...rubbingFigures,
  ...findingFigures,
  ...weightFigures,
  ...bulgeFigures,
  ...barsFigures,
  ...workFigures,
  ...shardsFigures,
  ...glassFigures,
} as const;

export type FigureKind = keyof typeof explanations;
