/** The differences between two drawings as lines to read and places to look at. */
import { leadKindWords, type NetChange } from '#libs/net';
import type { Xy } from '../drawing/plane.js';
import { say, sayWord } from '../platform/language/say.js';
import { sayFixed, sayMm } from '../platform/say-number.js';
import type { Fate } from './fate-look.js';

export interface ChangeLine {
  readonly key: string;
  readonly fate: Fate;
  readonly words: string;
  /** null: it has no place of its own */
  readonly xyMm: Xy | null;
}

/** @param placeOf middle of a lead of the later drawing */
export function changeLines(
  change: NetChange,
  placeOf: (leadId: string) => Xy | null,
): readonly ChangeLine[] {
  const pieces = (ids: readonly string[]) =>
    ids.length > 0 ? say(' at {ids}', { ids: ids.join(say(' and ')) }) : '';
  return [
    ...[...change.moved]
      .sort((a, b) => b.maxMm - a.maxMm)
      .map(
        (move): ChangeLine => ({
          key: `moved ${move.afterLeadId}`,
          fate: 'moved',
          words: say('{afterLeadId} moved by up to {value} mm', {
            afterLeadId: move.afterLeadId,
            value: sayFixed(move.maxMm, 1),
          }),
          xyMm: move.atMm,
        }),
      ),
    ...change.added.map(
      (lead): ChangeLine => ({
        key: `added ${lead.leadId}`,
        fate: 'added',
        words: say('{kind} {leadId} added, {lengthMm}{pieceIds}', {
          kind: sayWord(leadKindWords[lead.kind]),
          leadId: lead.leadId,
          lengthMm: sayMm(lead.lengthMm),
          pieceIds: pieces(lead.pieceIds),
        }),
        xyMm: lead.atMm,
      }),
    ),
    ...change.erased.map(
      (lead): ChangeLine => ({
        key: `erased ${lead.leadId}`,
        fate: 'erased',
        words: say('{kind} {leadId} erased, {lengthMm}{pieceIds}', {
          kind: sayWord(leadKindWords[lead.kind]),
          leadId: lead.leadId,
          lengthMm: sayMm(lead.lengthMm),
          pieceIds: pieces(lead.pieceIds),
        }),
        xyMm: lead.atMm,
      }),
    ),
    ...change.widths.map(
      (one): ChangeLine => ({
        key: `width ${one.leadId}`,
        fate: 'altered',
        words: say('{leadId}: face {value} → {value2} mm', {
          leadId: one.leadId,
          value: sayFixed(one.beforeMm, 1),
          value2: sayFixed(one.afterMm, 1),
        }),
        xyMm: placeOf(one.leadId),
      }),
    ),
    ...change.kinds.map(
      (one): ChangeLine => ({
        key: `kind ${one.leadId}`,
        fate: 'altered',
        words: `${one.leadId}: ${leadKindWords[one.before]} → ${leadKindWords[one.after]}`,
        xyMm: placeOf(one.leadId),
      }),
    ),
    ...change.profiles.map(
      (one): ChangeLine => ({
        key: `profile ${one.leadId}`,
        fate: 'altered',
        words: say('{leadId}: profile {after}', {
          leadId: one.leadId,
          after: one.after ?? say('taken back'),
        }),
        xyMm: placeOf(one.leadId),
      }),
    ),
    ...change.renumbered.map(
      (one): ChangeLine => ({
        key: `number ${one.before}`,
        fate: 'altered',
        words: say('piece {before} is {after}', { before: one.before, after: one.after }),
        xyMm: null,
      }),
    ),
  ];
}
