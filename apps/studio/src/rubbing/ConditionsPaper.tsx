import { type SubmitEvent, useState } from 'react';
import { ToBench } from '../bench/ToBench.js';
import type { Bench } from '../bench/use-bench.js';
import type { Face, Layer } from '../platform/api/panels.js';
import { type RubbingConditions, recordRubbing } from '../platform/api/rubbings.js';
import { Cautions } from '../platform/Cautions.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { NumberField, readNumber } from '../platform/NumberField.js';
import { OneOf } from '../platform/OneOf.js';
import { Refusal } from '../platform/Refusal.js';
import { useSession } from '../platform/session.js';
import { TextField } from '../platform/TextField.js';
import { today } from '../platform/today.js';
import { useAct } from '../platform/use-act.js';

const looseWords = {
  none: say('there are none'),
  covered: say('covered'),
  'left-out': say('left out'),
} as const;

/** Asked before wax touches the panel; "not rubbed because…" is a full answer. */
export function ConditionsPaper({ bench, onRecorded }: { bench: Bench; onRecorded: () => void }) {
  const { panel } = bench;
  const { me } = useSession();
  const [answer, setAnswer] = useState<'rubbed' | 'not rubbed' | null>(null);
  const [paint, setPaint] = useState(false);
  const [loose, setLoose] = useState<RubbingConditions['looseAreas'] | null>(null);
  const [support, setSupport] = useState(false);
  const [because, setBecause] = useState('');
  const [medium, setMedium] = useState('');
  const [face, setFace] = useState<Face>('inside');
  const [layer, setLayer] = useState<Layer>('front');
  const [sheets, setSheets] = useState('1');
  const [takenBy, setTakenBy] = useState(me.displayName);
  const [shelf, setShelf] = useState('');
  const [over, setOver] = useState({ width: '', height: '', d1: '', d2: '' });
  const [happened, setHappened] = useState(today());
  const { busy, why, run } = useAct();
  const allowed = paint && support && loose !== null;

  const record = (event: SubmitEvent) => {
    event.preventDefault();
    const [widthMm, heightMm, diagonal1Mm, diagonal2Mm] = [
      over.width,
      over.height,
      over.d1,
      over.d2,
    ].map(readNumber);
    const overall =
      widthMm !== undefined &&
      heightMm !== undefined &&
      diagonal1Mm !== undefined &&
      diagonal2Mm !== undefined
        ? { overall: { widthMm, heightMm, diagonal1Mm, diagonal2Mm } }
        : {};
    void run(async () => {
      await recordRubbing(
        panel.panelId,
        answer === 'rubbed' && loose !== null
          ? {
              conditions: { paintTested: true, looseAreas: loose, panelSupported: true },
              sheet: {
                medium,
                face,
                layer,
                sheets: readNumber(sheets) ?? 1,
                takenBy,
                shelf,
                ...overall,
              },
              ...(happened === '' ? {} : { happened }),
            }
          : { conditions: { notRubbedBecause: because }, ...(happened === '' ? {} : { happened }) },
      );
      onRecorded();
    });
  };
  return (
    <form className="paper stack" onSubmit={record}>
      <div>
        <h1>{rich('May {mark} be rubbed?', { mark: panel.mark })}</h1>
        <p className="sub">{say('Said before wax touches the panel, by who takes the rubbing.')}</p>
      </div>
      <Cautions keys={['loose-paint', 'lead-dust', 'asbestos-putty', 'bulged-panel']} />
      <OneOf
        legend={say('This panel is')}
        options={['rubbed', 'not rubbed'] as const}
        value={answer}
        onValue={setAnswer}
      />
      {answer === 'not rubbed' ? (
        <TextField
          label={say('Not rubbed because…')}
          hint={say('A full answer: it stands in the record and nothing more is asked.')}
          rows={2}
          required
          value={because}
          onValue={setBecause}
        />
      ) : null}
      {answer === 'rubbed' ? (
        <>
          <div>
            <label className="tick">
              {rich('{input}The paint has been tested and holds', {
                input: (
                  <input
                    type="checkbox"
                    checked={paint}
                    onChange={(event) => {
                      setPaint(event.target.checked);
                    }}
                  />
                ),
              })}
            </label>
            <label className="tick">
              {rich('{input}The panel lies supported to its shape', {
                input: (
                  <input
                    type="checkbox"
                    checked={support}
                    onChange={(event) => {
                      setSupport(event.target.checked);
                    }}
                  />
                ),
              })}
            </label>
          </div>
          <OneOf
            legend={say('Loose areas')}
            options={['none', 'covered', 'left-out'] as const}
            value={loose}
            onValue={setLoose}
            words={(value) => looseWords[value]}
          />
          <h3>{say('The sheet itself')}</h3>
          <div className="two">
            <TextField
              label={say('Medium')}
              required
              placeholder={say('black wax on lining paper')}
              value={medium}
              onValue={setMedium}
            />
            <NumberField label={say('Sheets')} value={sheets} onValue={setSheets} />
          </div>
          <div className="two">
            <OneOf
              legend={say('Face')}
              options={['inside', 'outside'] as const}
              value={face}
              onValue={setFace}
            />
            <OneOf
              legend={say('Layer')}
              options={['front', 'back'] as const}
              value={layer}
              onValue={setLayer}
            />
          </div>
          <div className="two">
            <TextField label={say('Taken by')} required value={takenBy} onValue={setTakenBy} />
            <TextField
              label={say('Kept at')}
              hint={say('drawer, tube or shelf; “on the bench” is an answer')}
              required
              value={shelf}
              onValue={setShelf}
            />
          </div>
          <fieldset className="field">
            <legend>{say('Measured on the panel, mm (may be left empty)')}</legend>
            <div className="two">
              <NumberField
                label={say('Width over all')}
                value={over.width}
                onValue={(width) => {
                  setOver({ ...over, width });
                }}
              />
              <NumberField
                label={say('Height over all')}
                value={over.height}
                onValue={(height) => {
                  setOver({ ...over, height });
                }}
              />
              <NumberField
                label={say('Diagonal from top left')}
                value={over.d1}
                onValue={(d1) => {
                  setOver({ ...over, d1 });
                }}
              />
              <NumberField
                label={say('Diagonal from top right')}
                value={over.d2}
                onValue={(d2) => {
                  setOver({ ...over, d2 });
                }}
              />
            </div>
          </fieldset>
        </>
      ) : null}
      {answer === null ? null : (
        <TextField
          label={answer === 'rubbed' ? say('Taken on') : say('Decided on')}
          value={happened}
          onValue={setHappened}
        />
      )}
      <Refusal why={why} />
      <div className="row">
        <button
          type="submit"
          disabled={
            busy || answer === null || (answer === 'rubbed' ? !allowed : because.trim() === '')
          }
        >
          {answer === 'not rubbed'
            ? say('Record that it is not rubbed')
            : say('Record the rubbing')}
        </button>
        <ToBench mark={panel.fullMark} />
      </div>
      {answer === 'rubbed' && !allowed ? (
        <p className="hint">
          {say(
            'All three are asked before a rubbing is recorded. If one is not so, it is not rubbed: say why.',
          )}
        </p>
      ) : null}
    </form>
  );
}
