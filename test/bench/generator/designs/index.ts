import type { Design, SizeWish } from '../curve.js';
import type { RandomStream } from '../random-stream.js';
import { bands } from './bands.js';
import { figure } from './figure.js';
import { lancet } from './lancet.js';
import { quarries } from './quarries.js';
import { round } from './round.js';

export const STYLES = { quarries, bands, figure, lancet, round } satisfies Record<
  string,
  (random: RandomStream, wish?: SizeWish) => Design
>;
export type Style = keyof typeof STYLES;
