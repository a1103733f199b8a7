import { type CutAsked, type CutGlass, type CutList, cutListFile } from '../platform/api/glass.js';
import { Why } from '../platform/figure/Figure.js';
import { say } from '../platform/language/say.js';
import { NumberField } from '../platform/NumberField.js';
import { sayAreaMm2, sayPanelMm, saySizeMm } from '../platform/say-number.js';

/** What is to be cut, by its glass, with the sheets that it takes; and the files of it. */
export function CutListPaper({
  panelId,
  list,
  letters,
  typed,
  onTyped,
  asked,
}: {
  panelId: string;
  list: CutList;
  letters: ReadonlyMap<string, string>;
  typed: { readonly gap: string; readonly edge: string };
  onTyped: (typed: { gap: string; edge: string }) => void;
  asked: CutAsked;
}) {
  return (
    <section className="paper stack" aria-label={say('Cut list')}>
      <div>
        <h2>
          {say('Cut list')} <Why kind="cut-sheets" of={say('Cut list')} />
        </h2>
        <p className="sub">
          {say('Glass as cut, before grozing. How the pieces lie is a proposal.')}
        </p>
      </div>
      <div className="two">
        <NumberField
          label={say('Between pieces, mm')}
          value={typed.gap}
          onValue={(gap) => {
            onTyped({ ...typed, gap });
          }}
        />
        <NumberField
          label={say('Along the edge, mm')}
          value={typed.edge}
          onValue={(edge) => {
            onTyped({ ...typed, edge });
          }}
        />
      </div>
      {list.glasses.map((glass) => (
        <GlassRows key={glass.materialId} glass={glass} letter={letters.get(glass.materialId)} />
      ))}
      {list.unchosen.length === 0 ? null : (
        <p role="status">{say('No glass yet for {list}.', { list: list.unchosen.join(', ') })}</p>
      )}
      {list.nothingToCut.length === 0 ? null : (
        <p>{say('Nothing is left to cut of {list}.', { list: list.nothingToCut.join(', ') })}</p>
      )}
      <p className="row">
        <a className="word" href={cutListFile(panelId, 'cut-list.pdf', asked)} download>
          {say('PDF, A4')}
        </a>
        <a className="word" href={cutListFile(panelId, 'cut-list.csv', asked)} download>
          {say('CSV')}
        </a>
      </p>
    </section>
  );
}

function GlassRows({ glass, letter = '' }: { glass: CutGlass; letter: string | undefined }) {
  const offcuts = glass.sheets.length - glass.wholeSheets;
  return (
    <details className="glass-rows">
      <summary>
        <b>{letter}</b> {glass.name}:{' '}
        {say('{count, plural, one {# piece} other {# pieces}}, {area}', {
          count: glass.pieces.length,
          area: sayAreaMm2(glass.areaMm2),
        })}
        {'; '}
        {say('{sheets, plural, one {# sheet} other {# sheets}} of {size}', {
          sheets: glass.wholeSheets,
          size: sayPanelMm(glass.sheetMm[0], glass.sheetMm[1]),
        })}
        {offcuts === 0
          ? null
          : say(' and {offcuts, plural, one {# offcut} other {# offcuts}}', { offcuts })}
        {say(', {waste} % of it in no piece', { waste: Math.round(glass.wasteRatio * 100) })}
      </summary>
      <Warnings glass={glass} />
      <table className="facts">
        <thead>
          <tr>
            <th scope="col">{say('piece')}</th>
            <th scope="col">{say('as cut')}</th>
          </tr>
        </thead>
        <tbody>
          {glass.pieces.map(({ piece, cutSizeMm: [wide, high] }) => (
            <tr key={piece}>
              <td>{piece}</td>
              <td>{saySizeMm(wide, high)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </details>
  );
}

function Warnings({ glass }: { glass: CutGlass }) {
  const { missingSheets, inStock, unlaid, tooLarge, leastSheets, wholeSheets } = glass;
  return (
    <>
      {wholeSheets > leastSheets ? (
        <p className="hint">
          {say('By area alone it would be at least {least}; no way of laying needs fewer.', {
            least: leastSheets,
          })}
        </p>
      ) : null}
      {missingSheets === 0 ? null : (
        <p role="status">
          {say('{missing} more than are in stock ({stock}).', {
            missing: missingSheets,
            stock: inStock,
          })}
        </p>
      )}
      {unlaid.length === 0 ? null : (
        <p role="alert">{say('No sheet is left for {list}.', { list: unlaid.join(', ') })}</p>
      )}
      {tooLarge.map(({ piece, needsMm: [wide, high] }) => (
        <p key={piece} role="alert">
          {say('Piece {piece} needs {size} and is on no sheet.', {
            piece,
            size: saySizeMm(Math.ceil(wide), Math.ceil(high)),
          })}
        </p>
      ))}
    </>
  );
}
