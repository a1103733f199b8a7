import './records.css';
import { useState } from 'react';
import {
  type DossierKind,
  dossierFile,
  dossierSubject,
  makeDossier,
  readDossiers,
  recordFile,
} from '../platform/api/dossiers.js';
import { followJob, type JobProgress } from '../platform/api/jobs.js';
import { Go } from '../platform/Go.js';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { OneOf } from '../platform/OneOf.js';
import { Progress } from '../platform/Progress.js';
import { pathOf } from '../platform/place.js';
import { Refusal } from '../platform/Refusal.js';
import { sayBytes } from '../platform/say-number.js';
import { useAct } from '../platform/use-act.js';
import { useAnswer } from '../platform/use-answer.js';
import { BackgroundPaper } from './BackgroundPaper.js';
import { HowToCheck } from './HowToCheck.js';

const kindWords: Readonly<Record<DossierKind, string>> = {
  'handed-out': say('to hand out'),
  keepers: say('keeper’s'),
};
const kindHints: Readonly<Record<DossierKind, string>> = {
  'handed-out': say(
    'Pictures without position and camera serials, originals listed by digest, no places, no prices.',
  ),
  keepers: say('Everything, with originals. Keep it where you keep the archive’s backups.'),
};

/** Condition and treatment record, dossier, what is known of the place, and how to check them. */
export function PapersPaper({ siteId, mark }: { siteId: string; mark: string }) {
  const about = dossierSubject(mark);
  const [kind, setKind] = useState<DossierKind>('handed-out');
  const [progress, setProgress] = useState<JobProgress | null>(null);
  const [made, setMade] = useState<string | null>(null);
  const dossiers = useAnswer(`dossiers ${siteId}`, (signal) => readDossiers(siteId, signal));
  const { busy, why, run } = useAct();
  const here = (dossiers.value ?? []).filter(
    (dossier) =>
      dossier.state === 'ready' &&
      (dossier.subject === about || `${about}.`.startsWith(`${dossier.subject}.`)),
  );
  const make = () => {
    setMade(null);
    void run(async () => {
      const { dossierId, jobId } = await makeDossier(siteId, { subject: about, kind });
      setProgress({ stage: say('waiting for the worker'), ratio: 0 });
      const end = await followJob(jobId, setProgress, new AbortController().signal).finally(() => {
        setProgress(null);
      });
      if (!end.done)
        throw new Error(
          end.problem.detail ?? end.problem.title ?? say('The dossier was not made.'),
        );
      setMade(dossierId);
      dossiers.again();
    });
  };
  return (
    <>
      <section className="paper stack" aria-label={say('Records')}>
        <div>
          <h1>{say('Records')}</h1>
          <p className="sub">{rich('{mark}, as known now', { mark })}</p>
        </div>
        {(['condition', 'treatment'] as const).map((which) => (
          <div key={which} className="record-row">
            <h2>{which === 'condition' ? say('Condition record') : say('Treatment record')}</h2>
            <p className="row">
              <a
                className="act quiet"
                href={recordFile(which, mark, 'pdf')}
                download={`${mark.replaceAll(':', '-')}-${which}.pdf`}
              >
                PDF
              </a>
              <a
                className="act quiet"
                href={recordFile(which, mark, 'html')}
                target="_blank"
                rel="noreferrer"
              >
                {say('Read and print')}
              </a>
            </p>
          </div>
        ))}
        <p className="row">
          <Go className="act quiet" to={pathOf(mark)}>
            {say('Back to the drawing')}
          </Go>
        </p>
      </section>
      <section className="paper stack" aria-label={say('Dossier')}>
        <div>
          <h2>{say('Dossier')}</h2>
          <p className="sub">
            {rich(
              'Everything about {about} in open formats, readable without this program, and able to prove that nothing was altered.',
              { about },
            )}
          </p>
        </div>
        <OneOf
          legend={say('Kind')}
          options={['handed-out', 'keepers'] as const}
          value={kind}
          onValue={setKind}
          words={(value) => kindWords[value]}
        />
        <p className="hint">{kindHints[kind]}</p>
        <Refusal why={why} />
        {progress ? <Progress stage={progress.stage} ratio={progress.ratio} /> : null}
        <div className="row">
          <button type="button" className={made ? 'quiet' : ''} disabled={busy} onClick={make}>
            {busy ? say('Packing…') : say('Pack a dossier')}
          </button>
          {made ? (
            <a className="act" href={dossierFile(made)} download>
              {say('Save the dossier')}
            </a>
          ) : null}
        </div>
        {here.length > 0 ? (
          <ul className="lines" aria-label={say('Dossiers made before')}>
            {here.map((dossier) => (
              <li key={dossier.dossierId}>
                <a className="word" href={dossierFile(dossier.dossierId)} download>
                  {dossier.subject}, {kindWords[dossier.kind]}
                </a>
                <span>
                  {(dossier.askedAt ?? '').slice(0, 10)}
                  {dossier.sizeBytes ? `, ${sayBytes(dossier.sizeBytes)}` : ''}
                </span>
              </li>
            ))}
          </ul>
        ) : null}
      </section>
      <BackgroundPaper siteId={siteId} mark={mark} />
      <HowToCheck />
    </>
  );
}
