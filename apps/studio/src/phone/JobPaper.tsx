import { type SubmitEvent, useState } from 'react';
import {
  type LightKind,
  lightKinds,
  lightWords,
  type MediaKind,
  type Stage,
  stages,
} from '../platform/api/media.js';
import type { Face } from '../platform/api/panels.js';
import { Field } from '../platform/Field.js';
import { say } from '../platform/language/say.js';
import { OneOf } from '../platform/OneOf.js';
import { TextField } from '../platform/TextField.js';
import { placeOfMark } from './label/known-place.js';
import type { Job } from './queue/picture.js';
import type { KnownPanels } from './remembered.js';
import { usualJob } from './use-job.js';

const kinds = ['photograph', 'rubbing'] as const satisfies readonly MediaKind[];

/** States the job before the shot: which panel or piece, what kind of picture, which light. */
export function JobPaper({
  job,
  panels,
  startMark,
  onJob,
}: {
  job: Job | null;
  panels: KnownPanels | null;
  startMark: string | null;
  onJob: (job: Job) => void;
}) {
  const sites = panels?.sites ?? [];
  const start = placeOfMark(sites, startMark ?? job?.mark ?? '');
  const [siteId, setSiteId] = useState(start?.site.siteId ?? sites[0]?.siteId ?? '');
  const site = sites.find((known) => known.siteId === siteId) ?? sites[0];
  const [windowMark, setWindowMark] = useState(start?.window.mark ?? '');
  const window = site?.windows.find(({ mark }) => mark === windowMark) ?? site?.windows[0];
  const [panelMark, setPanelMark] = useState(start?.panel ?? '');
  const panel = window?.panels.includes(panelMark) ? panelMark : (window?.panels[0] ?? '');
  const [piece, setPiece] = useState(start?.piece ?? '');
  const [kind, setKind] = useState<MediaKind>(job?.kind ?? 'photograph');
  const [light, setLight] = useState<LightKind>(job?.light ?? 'transmitted');
  const [stage, setStage] = useState<Stage>(job?.stage ?? 'before');
  const [face, setFace] = useState<Face>(job?.face ?? 'inside');
  const [note, setNote] = useState(job?.note ?? '');
  if (site === undefined || window === undefined || panel === '') {
    return (
      <div className="stack">
        <h1>{say('Which panel?')}</h1>
        <p>
          {say(
            'This phone has no list of panels yet. Open this page once while the archive can be reached; the list is kept for times without a line.',
          )}
        </p>
      </div>
    );
  }
  const done = (event: SubmitEvent) => {
    event.preventDefault();
    const mark = piece.trim() === '' ? panel : `${panel}.${piece.trim()}`;
    onJob({
      ...(job ?? usualJob(site.siteId, mark)),
      siteId: site.siteId,
      mark,
      kind,
      light,
      clockHour: null,
      elevationDeg: null,
      stage,
      face,
      note,
    });
  };
  return (
    <form className="stack" onSubmit={done} aria-label={say('What is photographed')}>
      <h1>{say('What is photographed?')}</h1>
      {sites.length < 2 ? null : (
        <Choice
          label={say('Site')}
          value={site.siteId}
          options={sites.map((known) => [known.siteId, `${known.mark} ${known.name}`])}
          onValue={setSiteId}
        />
      )}
      <div className="two">
        <Choice
          label={say('Window')}
          value={window.mark}
          options={site.windows.map(({ mark, title }) => [mark, `${mark} ${title}`])}
          onValue={setWindowMark}
        />
        <Choice
          label={say('Panel')}
          value={panel}
          options={window.panels.map((mark) => [mark, mark.split('.').at(-1) ?? mark])}
          onValue={setPanelMark}
        />
        <TextField
          label={say('Piece, if one alone')}
          inputMode="numeric"
          pattern="[0-9]*"
          value={piece}
          onValue={setPiece}
        />
      </div>
      <OneOf
        legend={say('It is a')}
        options={kinds}
        value={kind === 'rubbing' ? kind : 'photograph'}
        onValue={setKind}
      />
      {kind === 'rubbing' ? null : (
        <OneOf
          legend={say('Light')}
          options={lightKinds}
          value={light}
          onValue={setLight}
          words={(value) => lightWords({ kind: value }).replace(/ light$/, '')}
        />
      )}
      <OneOf legend={say('Stage of the work')} options={stages} value={stage} onValue={setStage} />
      <OneOf
        legend={say('Seen from')}
        options={['inside', 'outside'] as const}
        value={face}
        onValue={setFace}
      />
      <TextField label={say('Note')} maxLength={500} value={note} onValue={setNote} />
      <button type="submit" className="camera">
        {say('To the camera')}
      </button>
    </form>
  );
}

function Choice({
  label,
  value,
  options,
  onValue,
}: {
  label: string;
  value: string;
  options: readonly (readonly [string, string])[];
  onValue: (value: string) => void;
}) {
  return (
    <Field label={label}>
      {(ids) => (
        <select
          {...ids}
          value={value}
          onChange={(event) => {
            onValue(event.target.value);
          }}
        >
          {options.map(([key, words]) => (
            <option key={key} value={key}>
              {words}
            </option>
          ))}
        </select>
      )}
    </Field>
  );
}
