/** A person's word on piece numbers: a number of their choice, or one number and two letters. */
import type { Net } from '../net.js';
import { NetError } from '../net-error.js';
import type { NumberOverride } from '../number-pieces.js';
import { isInsideRing } from '../ring.js';
import type { Drawing } from './drawing.js';

/**
 * Gives a piece a number, in place of what was said of it before.
 *
 * @param net the drawing as it was last built
 * @throws {NetError} `bad-number` when it is none, or belongs to another piece
 */
export function numberPiece(
  drawing: Drawing,
  net: Net,
  pieceId: string,
  { number, part }: { readonly number: number; readonly part: string | null },
): Drawing {
  const piece = net.pieces.find((one) => one.pieceId === pieceId);
  if (piece === undefined) throw new NetError('bad-number', `there is no piece ${pieceId}`);
  if (!Number.isInteger(number) || number < 1 || (part !== null && !/^[a-z]{1,2}$/.test(part))) {
    throw new NetError(
      'bad-number',
      'a piece has a whole number, and one or two small letters when it is a part: 17 or 17a',
      piece.labelMm,
    );
  }
  const name = `${number}${part ?? ''}`;
  if (net.pieces.some((one) => one.pieceId === name && one !== piece)) {
    throw new NetError('bad-number', `${name} is another piece of this panel`, piece.labelMm);
  }
  return {
    ...drawing,
    numbers: [...withoutIn(drawing.numbers, net, [pieceId]), { atMm: piece.labelMm, number, part }],
  };
}

/**
 * The pieces that one piece has become, by a mending lead, are parts a, b, … of its number.
 *
 * @param pieceIds in the order of their letters
 */
export function letterParts(
  drawing: Drawing,
  net: Net,
  number: number,
  pieceIds: readonly string[],
): Drawing {
  const added = pieceIds.map((pieceId, i): NumberOverride => {
    const piece = net.pieces.find((one) => one.pieceId === pieceId);
    if (piece === undefined) throw new NetError('bad-number', `there is no piece ${pieceId}`);
    return { atMm: piece.labelMm, number, part: String.fromCharCode(97 + i) };
  });
  return { ...drawing, numbers: [...withoutIn(drawing.numbers, net, pieceIds), ...added] };
}

function withoutIn(
  numbers: readonly NumberOverride[],
  net: Net,
  pieceIds: readonly string[],
): NumberOverride[] {
  const rings = net.pieces
    .filter((piece) => pieceIds.includes(piece.pieceId))
    .map((piece) => piece.centreRingMm);
  return numbers.filter(({ atMm }) => !rings.some((ring) => isInsideRing(atMm, ring)));
}
