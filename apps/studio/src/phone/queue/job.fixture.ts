/** A job for the tests of the queue. */
import type { Job } from './picture.js';

export const rakingJob: Job = {
  siteId: 's',
  mark: 'SLM.wI.2b',
  kind: 'photograph',
  light: 'raking',
  clockHour: 9,
  elevationDeg: 15,
  stage: 'before',
  face: 'inside',
  layer: 'front',
  author: '',
  note: '',
};
