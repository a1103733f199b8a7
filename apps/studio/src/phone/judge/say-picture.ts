/** What the look at a photograph is said to be: sentences for the person who still stands before the panel. */

import { say } from '../../platform/language/say.js';
import { sayFixed, sayRatio } from '../../platform/say-number.js';
import type { Job } from '../queue/picture.js';

export interface PictureFigures {
  readonly widthPx: number;
  readonly heightPx: number;
  /** 10 to 90 % width of the sharpest clear edges; null: too few edges to tell */
  readonly edgePx: number | null;
  readonly brightShare: number;
  readonly darkShare: number;
  /** from the printed target sheet; null where none is seen */
  readonly target: {
    readonly tags: number;
    readonly pxPerMm: number;
    readonly tiltDeg: number | null;
  } | null;
  /** what a picture of a rubbing needs to be measured */
  readonly neededPxPerMm: number;
}

export interface Said {
  /** one line each, what was found */
  readonly found: readonly string[];
  /** reasons to take it again while the panel has not moved */
  readonly again: readonly string[];
  /** why it cannot serve as what it was taken for; null: it can */
  readonly stop: string | null;
}

/** Edges as wide as this are soft on the screen, and from the second on blurred (common practice, no source). */
const SOFT_PX = 5;
const BLURRED_PX = 9;
/** The engine that reads rubbings refuses edges over more than a millimetre. */
const MOST_EDGE_MM = 1;
/** More than this burnt out loses what the light shows (common practice, no source). */
const MOST_BRIGHT = 0.02;
const MOST_DARK = 0.6;
const MOST_TILT_DEG = 20;

/** @param job what the picture was taken for */
export function sayPicture(figures: PictureFigures, job: Pick<Job, 'kind'>): Said {
  const found: string[] = [];
  const again: string[] = [];
  const isRubbing = job.kind === 'rubbing';
  let stop: string | null = null;
  const { edgePx, target, neededPxPerMm } = figures;

  if (edgePx === null) found.push(say('sharpness not told: too few edges'));
  else {
    const word =
      edgePx > BLURRED_PX ? say('blurred') : edgePx > SOFT_PX ? say('soft') : say('sharp');
    found.push(say('{word}: edges run over {edge} px', { word, edge: sayFixed(edgePx, 1) }));
    if (edgePx > BLURRED_PX)
      again.push(say('It is blurred. Steady the phone, tap to focus, and take it again.'));
  }
  if (figures.brightShare > MOST_BRIGHT) {
    found.push(say('{brightShare} burnt out', { brightShare: sayRatio(figures.brightShare) }));
    again.push(say('Bright places are burnt out. Take it again darker.'));
  } else if (figures.darkShare > MOST_DARK) {
    found.push(say('{darkShare} quite black', { darkShare: sayRatio(figures.darkShare) }));
    again.push(say('Most of it is black. Take it again lighter.'));
  } else found.push(say('exposure holds'));

  if (target === null) {
    found.push(
      isRubbing
        ? say('no target sheet seen: the scale must come from measured marks')
        : say('no target sheet seen: scale and tilt not told'),
    );
    return { found, again, stop };
  }
  found.push(say('{value} px to the millimetre', { value: sayFixed(target.pxPerMm, 1) }));
  const { tiltDeg } = target;
  found.push(
    tiltDeg === null
      ? say('tilt not told')
      : say('camera leans about {tiltDeg}°', { tiltDeg: Math.round(tiltDeg) }),
  );
  if (tiltDeg !== null && tiltDeg > MOST_TILT_DEG)
    again.push(say('Hold the phone square over the panel.'));
  if (target.pxPerMm < neededPxPerMm) {
    const numbers = say('{value} px to the millimetre; {value2} are needed', {
      value: sayFixed(target.pxPerMm, 1),
      value2: sayFixed(neededPxPerMm, 1),
    });
    if (isRubbing)
      stop = say('Too coarse for a rubbing: {numbers}. Go nearer, or take the sheet in parts.', {
        numbers,
      });
    else again.push(say('Too coarse to measure narrow leads from: {numbers}.', { numbers }));
  }
  if (isRubbing && stop === null && edgePx !== null && edgePx / target.pxPerMm > MOST_EDGE_MM) {
    stop = say(
      'Too blurred for a rubbing: edges run over {value} mm; {MOST_EDGE_MM} mm is the most. Steady the phone and take it again.',
      { value: sayFixed(edgePx / target.pxPerMm, 1), MOST_EDGE_MM },
    );
  }
  return { found, again, stop };
}
