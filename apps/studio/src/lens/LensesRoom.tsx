import { targetSheet } from '../platform/api/lenses.js';
import { Shell } from '../platform/Shell.js';
import { papers } from '../print/print-choice.js';
import { CalibrationsPaper } from './CalibrationsPaper.js';

/** The target sheet to print, and the lenses that were calibrated with it. */
export function LensesRoom() {
  return (
    <Shell mark={null} sentence="target sheet and lenses">
      <div className="scroll">
        <section className="paper stack">
          <div>
            <h1>The target sheet</h1>
            <p className="sub">
              Laid beside a rubbing it gives the picture its scale without a tap; photographed by
              itself it tells how a lens bends.
            </p>
          </div>
          <div className="row">
            {papers.map((paper) => (
              <a key={paper} className="act" href={targetSheet(paper)} download>
                Print on {paper}
              </a>
            ))}
          </div>
          <div className="caution" role="note">
            <b>Print at 100 %, then measure its check square.</b>
            “Actual size”, never “fit to page”. A sheet that the printer shrank makes every drawing
            too large.
          </div>
          <ol className="steps">
            <li>Print it on stiff paper and cut along the lines it shows.</li>
            <li>
              Lay the strips round the rubbing, flat, in the same plane as the wax: none on a fold,
              none across the glass.
            </li>
            <li>Photograph rubbing and strips together. Every strip must be seen whole.</li>
          </ol>
        </section>
        <CalibrationsPaper />
      </div>
    </Shell>
  );
}
