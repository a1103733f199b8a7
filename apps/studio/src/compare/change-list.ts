/** The differences between two drawings as lines to read and places to look at. */
import { leadKindWords, type NetChange } from '#libs/net';
import type { Xy } from '../drawing/plane.js';
import { sayMm } from '../platform/say-number.js';
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
  const pieces = (ids: readonly string[]) => (ids.length > 0 ? ` at ${ids.join(' and ')}` : '');
  return [
    ...[...change.moved]
      .sort((a, b) => b.maxMm - a.maxMm)
      .map(
        (move): ChangeLine => ({
          key: `moved ${move.afterLeadId}`,
          fate: 'moved',
          words: `${move.afterLeadId} moved by up to ${move.maxMm.toFixed(1)} mm`,
          xyMm: move.atMm,
        }),
      ),
    ...change.added.map(
      (lead): ChangeLine => ({
        key: `added ${lead.leadId}`,
        fate: 'added',
        words: `${leadKindWords[lead.kind]} ${lead.leadId} added, ${sayMm(lead.lengthMm)}${pieces(lead.pieceIds)}`,
        xyMm: lead.atMm,
      }),
    ),
    ...change.erased.map(
      (lead): ChangeLine => ({
        key: `erased ${lead.leadId}`,
        fate: 'erased',
        words: `${leadKindWords[lead.kind]} ${lead.leadId} erased, ${sayMm(lead.lengthMm)}${pieces(lead.pieceIds)}`,
        xyMm: lead.atMm,
      }),
    ),
    ...change.widths.map(
      (one): ChangeLine => ({
        key: `width ${one.leadId}`,
        fate: 'altered',
        words: `${one.leadId}: face ${one.beforeMm.toFixed(1)} → ${one.afterMm.toFixed(1)} mm`,
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
        words: `${one.leadId}: profile ${one.after ?? 'taken back'}`,
        xyMm: placeOf(one.leadId),
      }),
    ),
    ...change.renumbered.map(
      (one): ChangeLine => ({
        key: `number ${one.before}`,
        fate: 'altered',
        words: `piece ${one.before} is ${one.after}`,
        xyMm: null,
      }),
    ),
  ];
}
