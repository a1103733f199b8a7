import { GLASSES, HOLDS, PAINTS, SURFACE_WORKS, type Word } from '#libs/vocabulary';
import { readTechniques, type Technique } from '../platform/api/techniques.js';
import { Go } from '../platform/Go.js';
import { say, sayWord } from '../platform/language/say.js';
import { pathOf } from '../platform/place.js';
import { sayFixed } from '../platform/say-number.js';
import { useAnswer } from '../platform/use-answer.js';

/** Rows of a piece's record: how it is made, and how many glasses were in its place. */
export function TechniqueFacts({
  panelId,
  pieceId,
  mark,
}: {
  panelId: string;
  pieceId: string;
  /** full mark of the piece */
  mark: string;
}) {
  const said = useAnswer(`techniques ${panelId}`, (signal) => readTechniques(panelId, signal));
  const own = said.value?.find((one) => one.pieceId === pieceId);
  return (
    <>
      <tr>
        <th scope="row">{say('how it is made')}</th>
        <td>
          {own === undefined ? say('not described') : sayTechnique(own.said)}{' '}
          <Go className="word" to={pathOf(mark, 'made') + window.location.search}>
            {own === undefined ? say('describe it') : say('change')}
          </Go>
        </td>
      </tr>
      {own === undefined || own.said.generations.length === 0 ? null : (
        <tr>
          <th scope="row">{say('generations')}</th>
          <td>
            {say('{count}; {reason}', {
              count: own.said.generations.length + 1,
              reason: own.said.generations.map(({ reason }) => reason).join(', '),
            })}
          </td>
        </tr>
      )}
    </>
  );
}

/** 'ruby flashed glass, 2.8 mm; silver stain; held by copper foil' */
function sayTechnique({ layers, held, note }: Technique['said']): string {
  const parts = layers.map((layer) => {
    const thickness =
      layer.thicknessMm === undefined ? '' : say('{mm} mm', { mm: sayFixed(layer.thicknessMm, 1) });
    if (layer.is === 'interlayer')
      return [layer.material, thickness].filter((part) => part !== '').join(' ');
    const gauged =
      layer.gauged === undefined
        ? thickness
        : say('gauged at {places, plural, one {# place} other {# places}}', {
            places: layer.gauged.length,
          });
    return [
      layer.glass === undefined ? say('glass') : labelOf(GLASSES, layer.glass),
      layer.colour ?? '',
      gauged,
      ...layer.worked.map(({ how }) => labelOf(SURFACE_WORKS, how)),
      ...layer.painted.map(({ how }) => labelOf(PAINTS, how)),
    ]
      .filter((part) => part !== '')
      .join(', ');
  });
  return [...parts, ...(held === undefined ? [] : [labelOf(HOLDS, held.by)]), note ?? '']
    .filter((part) => part !== '')
    .join('; ');
}

const labelOf = (words: readonly Word[], key: string): string =>
  sayWord(words.find((word) => word.key === key)?.label ?? key);
