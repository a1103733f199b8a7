import { type Media, type Stage, stages } from '../platform/api/media.js';

/** So many are seen at a glance. */
const AT_A_GLANCE = 4;

/**
 * Stages of the work among pictures with how many each has, in the order of the work; none where there is
 * nothing to choose or one sees all at a glance.
 */
export function stagesOf(
  pictures: readonly Pick<Media, 'stage'>[],
): readonly (readonly [Stage, number])[] {
  const found = stages
    .map((stage) => [stage, pictures.filter((one) => one.stage === stage).length] as const)
    .filter(([, count]) => count > 0);
  return pictures.length > AT_A_GLANCE && found.length > 1 ? found : [];
}
