import { targetSheet } from '../platform/api/lenses.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { Shell } from '../platform/Shell.js';
import { papers } from '../print/print-choice.js';
import { CalibrationsPaper } from './CalibrationsPaper.js';

/** The target sheet to print, and the lenses that were calibrated with it. */
export function LensesRoom() {
  return (
    <Shell mark={null} sentence={say('target sheet and lenses')}>
      <div className="scroll">
        <section className="paper stack">
          <div>
            <h1>{say('The target sheet')}</h1>
            <p className="sub">
              {say(
                'Laid beside a rubbing it gives the picture its scale without a tap; photographed by itself it tells how a lens bends.',
              )}
            </p>
          </div>
          <div className="row">
            {papers.map((paper) => (
              <a key={paper} className="act" href={targetSheet(paper)} download>
                {rich('Print on {paper}', { paper })}
              </a>
            ))}
          </div>
          <div className="caution" role="note">
            {rich(
              '<b>Print at 100 %, then measure the ruler on it.</b>“Actual size”, never “fit to page”. If the ruler is longer or shorter, say what it measures where you say that the picture shows the target sheet. Tape on paper only, never on painted glass.',
              { b: (words) => <b>{words}</b> },
            )}
          </div>
          <ol className="steps">
            <li>{say('For a rubbing, cut the strips apart along the broken lines.')}</li>
            <li>
              {say(
                'Lay one along each side of the panel, flat on the paper of the rubbing, outside the outer leads: none on a fold.',
              )}
            </li>
            <li>
              {say(
                'Photograph all of the rubbing with every strip in the picture, as squarely as you can. Nothing has to be tapped: each strip is known by its squares.',
              )}
            </li>
          </ol>
        </section>
        <CalibrationsPaper />
      </div>
    </Shell>
  );
}
