import type { ReactNode } from 'react';
import { areaPatternSvg, findingSvg } from '#libs/vocabulary';
import { boxOf, type Xy } from '../../drawing/plane.js';
import { SPOKEN_TERMS, spokenTerm } from '../../findings/spoken-terms.js';
import { termWords } from '../../findings/term-look.js';
import type { Finding } from '../../platform/api/findings.js';
import { rich } from '../../platform/language/rich.js';
import { say, sayWord } from '../../platform/language/say.js';
import { newId } from '../../platform/new-id.js';
import { sayEntry } from '../../platform/say-entry.js';
import { sayMeasure } from '../../platform/say-measure.js';
import { GiveUpAct } from './GiveUpAct.js';
import { noted } from './note-store.js';
import type { NotedFinding } from './noted.js';

/** What this phone says of a finding beside what the archive says of it by now; a person decides, nothing is mixed. */
export function BothPaper({ note }: { note: NotedFinding }) {
  const { id, body, corrects, theirs, mark } = note;
  if (corrects === null || theirs === null) return null;
  const isOpen = theirs.state === 'recorded';
  const words = (key: string) => termWords(SPOKEN_TERMS, key);
  const box = grownBox([...body.geometry.xyMm, ...theirs.geometry.xyMm]);
  const rows: readonly (readonly [string, string, string])[] = [
    [say('term'), words(body.term), words(theirs.term)],
    [say('measure'), sayMeasure(note.measureText), sayMeasure(theirs.measureText)],
    [say('in'), body.inPanel ?? say('the panel'), theirs.inPanel ?? say('the panel')],
    [say('face'), sayWord(body.face), sayWord(theirs.face)],
    [say('seen on'), body.happened ?? say('not said'), theirs.happened ?? say('not said')],
    [say('note'), body.note ?? say('none'), theirs.note ?? say('none')],
  ];
  return (
    <article
      className="paper both stack"
      aria-label={say('Changed meanwhile: {term} at {mark}', { term: words(body.term), mark })}
    >
      <p className="caution">
        <b>{rich('{mark}: this finding has changed since this phone read it.', { mark })}</b>
        {isOpen
          ? say(
              ' Somebody corrected it in the archive. Nothing is mixed: look at both and say what stands.',
            )
          : say(
              ' Somebody withdrew it in the archive. Look at both and say what becomes of yours.',
            )}
      </p>
      <table className="facts">
        <thead>
          <tr>
            <td />
            <th scope="col">{say('on this phone')}</th>
            <th scope="col">
              {say('in the archive, {entrySeq}', { entrySeq: sayEntry(theirs.entrySeq) })}
            </th>
          </tr>
        </thead>
        <tbody>
          <tr>
            <th scope="row">{say('drawn')}</th>
            <td>
              <Drawn box={box} term={body.term} {...body.geometry} />
            </td>
            <td>
              <Drawn box={box} term={theirs.term} {...theirs.geometry} />
            </td>
          </tr>
          {rows.map(([name, mine, other]) => (
            <tr key={name} data-differs={mine !== other}>
              <th scope="row">{name}</th>
              <Told isOther={mine !== other}>{mine}</Told>
              <Told isOther={mine !== other}>{other}</Told>
            </tr>
          ))}
        </tbody>
      </table>
      {isOpen ? (
        <button type="button" onClick={() => void noted(id, { kind: 'on-top', key: newId() })}>
          {say('Mine stands, on top of theirs')}
        </button>
      ) : null}
      <button
        type="button"
        className="quiet"
        onClick={() => void noted(id, { kind: 'as-own', key: newId() })}
      >
        {say('Keep both: mine as a finding of its own')}
      </button>
      <GiveUpAct
        id={id}
        words={
          isOpen ? say('Theirs stands: discard mine') : say('It stays withdrawn: discard mine')
        }
      />
    </article>
  );
}

function Told({ isOther, children }: { isOther: boolean; children: ReactNode }) {
  return <td>{isOther ? <strong>{children}</strong> : children}</td>;
}

function Drawn({
  box,
  term: key,
  kind,
  xyMm,
}: {
  box: string;
  term: string;
  kind: Finding['geometry']['kind'];
  xyMm: readonly Xy[];
}) {
  const term = spokenTerm(key);
  if (!term) return null;
  return (
    <svg
      viewBox={box}
      aria-hidden="true"
      // Made by our own vocabulary from numbers; nothing that a person typed is in it.
      dangerouslySetInnerHTML={{
        __html: `<defs>${areaPatternSvg(term)}</defs>${findingSvg(term, kind, xyMm)}`,
      }}
    />
  );
}

/** One window for both, so that the eye can compare. */
function grownBox(xyMm: readonly Xy[]): string {
  const { minX, minY, maxX, maxY } = boxOf(xyMm);
  const roundMm = Math.max(6, 0.1 * Math.max(maxX - minX, maxY - minY));
  const size = [maxX - minX + 2 * roundMm, maxY - minY + 2 * roundMm];
  return [minX - roundMm, minY - roundMm, ...size].join(' ');
}
