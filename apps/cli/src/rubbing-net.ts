/** The sheets of one rubbing to a net, by the same two calls that the worker makes. */
import { buildNet, type Net, NetError } from '#libs/net';
import {
  extractRubbing,
  READING_VERSION,
  RubbingError,
  type RubbingOptions,
  type RubbingSheet,
  type RubbingStage,
} from '#libs/rubbing';
import type { Output } from './command.js';
import { Refusal } from './refusal.js';

/** @throws Refusal when the sheets cannot support a drawing; the sentence says what to do */
export function rubbingNet(
  sheets: readonly RubbingSheet[],
  options: RubbingOptions,
  output: Output,
  layer: Net['layer'] = 'front',
): { net: Net; stages: readonly RubbingStage[] } {
  try {
    const found = extractRubbing(sheets, options, (stage: string) => {
      output.note(`  ${stage}`);
    });
    const net = buildNet(found.sketch, {
      face: options.face ?? 'inside',
      layer,
      surface: 'developed',
      flatten: found.flatten,
      doubtfulPlaces: found.doubtfulPlaces.map((place) => ({ ...place, leadIndex: null })),
      madeBy: { name: 'rubbing', version: READING_VERSION },
    });
    return { net, stages: found.stages ?? [] };
  } catch (cause) {
    if (cause instanceof RubbingError || cause instanceof NetError) {
      throw new Refusal(cause.message, undefined, { cause });
    }
    throw cause;
  }
}
