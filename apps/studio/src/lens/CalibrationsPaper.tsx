import { useState } from 'react';
import { followJob, type JobProgress } from '../platform/api/jobs.js';
import {
  calibrateLens,
  type LensCalibration,
  readLensCalibrations,
} from '../platform/api/lenses.js';
import { readSites, siteMark } from '../platform/api/sites.js';
import { Field } from '../platform/Field.js';
import { Figure } from '../platform/figure/Figure.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { Progress } from '../platform/Progress.js';
import { Refusal } from '../platform/Refusal.js';
import { sayFixed } from '../platform/say-number.js';
import { useSession } from '../platform/session.js';
import { today } from '../platform/today.js';
import { useAct } from '../platform/use-act.js';
import { useAnswer } from '../platform/use-answer.js';
import { send } from '../upload/sending.js';

/** Photograph the target sheet once with a phone; its lens is known from then on. */
export function CalibrationsPaper() {
  const { me } = useSession();
  const sites = useAnswer('sites', readSites);
  const known = useAnswer('lenses', readLensCalibrations);
  const [siteId, setSiteId] = useState<string | null>(null);
  const [progress, setProgress] = useState<JobProgress | null>(null);
  const { busy, why, run } = useAct();
  const all = sites.value ?? [];
  const site = all.find((one) => one.siteId === siteId) ?? all[0];

  const calibrate = (file: File) => {
    if (!site) return;
    void run(async () => {
      setProgress({ stage: say('sending the photograph'), ratio: 0 });
      try {
        const mediaId = await sent(file, {
          siteId: site.siteId,
          subject: siteMark(site),
          author: me.displayName,
          onRatio: (ratio) => {
            setProgress({ stage: say('sending the photograph'), ratio: ratio / 2 });
          },
        });
        const { jobId } = await calibrateLens(mediaId);
        const end = await followJob(
          jobId,
          ({ stage, ratio }) => {
            setProgress({ stage, ratio: 0.5 + ratio / 2 });
          },
          new AbortController().signal,
        );
        if (!end.done)
          throw new Error(
            end.problem.detail ?? say('The target sheet was not found in this picture.'),
          );
        known.again();
      } finally {
        setProgress(null);
      }
    });
  };
  return (
    <section className="paper stack">
      <div>
        <h2>{say('Lenses')}</h2>
        <p className="sub">
          {say(
            'A phone can bend a straight line by a millimetre or two across a sheet. Tape the uncut sheet down flat and photograph it alone from straight above, once with each phone and zoom, so that it fills the picture; send the file as the camera wrote it. Pictures by the same camera at the same focal length are then straightened by it where they cannot tell it themselves.',
          )}
        </p>
      </div>
      {known.value && known.value.length > 0 ? (
        <ul className="lines" aria-label={say('Calibrated lenses')}>
          {known.value.map((lens) => (
            <li key={lens.calibrationId}>
              <span>
                {lens.camera}, {sayFixed(lens.focalLengthMm, 1)} mm
                <small className="quiet-line">
                  <Figure kind="lens-fit" of={lens.camera}>
                    {sayLens(lens)}
                  </Figure>
                </small>
              </span>
              <span>{lens.recordedAt.slice(0, 10)}</span>
            </li>
          ))}
        </ul>
      ) : (
        <p role="status">{known.why ?? (known.value ? say('No lens is calibrated yet.') : '…')}</p>
      )}
      {all.length > 1 ? (
        <Field label={say('The photograph is kept with')}>
          {(ids) => (
            <select
              {...ids}
              value={site?.siteId ?? ''}
              onChange={(event) => {
                setSiteId(event.target.value);
              }}
            >
              {all.map((one) => (
                <option key={one.siteId} value={one.siteId}>
                  {siteMark(one)}, {one.name}
                </option>
              ))}
            </select>
          )}
        </Field>
      ) : null}
      <Refusal why={why} />
      {progress ? <Progress stage={progress.stage} ratio={progress.ratio} /> : null}
      {site ? (
        <div className="row">
          <label className="act">
            {rich('Photograph the target sheet{input}', {
              input: (
                <input
                  type="file"
                  className="unseen"
                  accept="image/*,.dng,.heic,.heif"
                  disabled={busy}
                  onChange={(event) => {
                    const file = event.target.files?.[0];
                    if (file) calibrate(file);
                    event.target.value = '';
                  }}
                />
              ),
            })}
          </label>
        </div>
      ) : (
        <p className="hint">{say('Add a site first: every picture is kept with one.')}</p>
      )}
    </section>
  );
}

const sayLens = ({ k1, k2, sigmaK1, tags, rmsPx, widthPx, heightPx }: LensCalibration) =>
  [
    `${widthPx} × ${heightPx} px`,
    `k1 ${sayFixed(k1, 4)} ± ${sayFixed(sigmaK1, 4)}`,
    `k2 ${sayFixed(k2, 4)}`,
    say('{tags} tags agree within {rms} px', { tags, rms: sayFixed(rmsPx, 2) }),
  ].join(', ');

/** Sends one photograph of the target sheet; its media id when the archive has it. */
function sent(
  file: File,
  about: { siteId: string; subject: string; author: string; onRatio: (ratio: number) => void },
): Promise<string> {
  return new Promise((resolve, reject) => {
    send(
      file,
      {
        siteId: about.siteId,
        kind: 'photograph',
        light: 'reflected',
        clockHour: null,
        elevationDeg: null,
        stage: 'undated',
        face: 'inside',
        layer: 'front',
        subjects: [about.subject],
        author: about.author,
        happened: today(),
        note: 'target sheet, for the calibration of a lens',
      },
      (state) => {
        if (state.is === 'sending') about.onRatio(state.ratio);
        else if (state.is === 'refused') reject(new Error(state.why));
        else if (state.is === 'kept')
          if (state.mediaId === null)
            reject(
              new Error(say('The archive did not say where the photograph lies. Send it again.')),
            );
          else resolve(state.mediaId);
      },
    );
  });
}
