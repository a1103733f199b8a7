import { type SubmitEvent, useState } from 'react';
import { isInsideRing, type Net } from '#libs/net';
import { TEST_KINDS, testKind } from '#libs/vocabulary';
import { useOlderPictures } from '../bench/use-older-pictures.js';
import { pairs, type Xy } from '../drawing/plane.js';
import type { Panel, Piece } from '../platform/api/panels.js';
import { recordTest, type TestBody } from '../platform/api/tests.js';
import { Cautions } from '../platform/Cautions.js';
import { say, sayWord } from '../platform/language/say.js';
import { Refusal } from '../platform/Refusal.js';
import { TextField } from '../platform/TextField.js';
import { today } from '../platform/today.js';
import { useAct } from '../platform/use-act.js';
import { WordSelect } from '../platform/WordSelect.js';
import { TestPictures } from './TestPictures.js';
import { type PlacedTest, TestPlaces } from './TestPlaces.js';

export interface TestedPanel {
  readonly panel: Panel;
  /** that stand today */
  readonly pieces: readonly Piece[];
  readonly net: Net;
}

/** A test that was made: where, how, by whom, and what came of it, or that the result is awaited. */
export function TestForm({
  siteId,
  mark,
  on,
  placed,
  afterwards,
}: {
  siteId: string;
  mark: string;
  /** the panel that is tested; null: a site or a window, on which no place is tapped */
  on: TestedPanel | null;
  placed: readonly PlacedTest[];
  afterwards: () => void;
}) {
  const [kind, setKind] = useState('');
  const [subject, setSubject] = useState(mark);
  const [place, setPlace] = useState('');
  const [method, setMethod] = useState('');
  const [byRole, setByRole] = useState('');
  const [sample, setSample] = useState('');
  const [outcome, setOutcome] = useState('');
  const [result, setResult] = useState('');
  const [atMm, setAtMm] = useState<Xy | null>(null);
  const [images, setImages] = useState<readonly string[]>([]);
  const { busy, why, run } = useAct();
  const { panel, older } = useOlderPictures(on?.panel);
  const tap = (at: Xy) => {
    setAtMm(at);
    const piece = on?.pieces.find(({ ringMm }) => isInsideRing(at, pairs(ringMm)));
    if (on !== null) setSubject(piece ? `${on.panel.fullMark}.${piece.mark}` : on.panel.fullMark);
  };
  const known = testKind(kind);
  const record = (event: SubmitEvent) => {
    event.preventDefault();
    void run(async () => {
      await recordTest(siteId, {
        subject,
        kind: kind as TestBody['kind'],
        place,
        method,
        images: [...images],
        ...(atMm === null ? {} : { atMm: [atMm[0], atMm[1]] as [number, number] }),
        ...(byRole === '' ? {} : { byRole }),
        ...(sample === '' ? {} : { sample }),
        happened: today(),
        ...(outcome === ''
          ? {}
          : { known: { outcome, evidence: [], ...(result === '' ? {} : { result }) } }),
      });
      for (const clear of [setKind, setPlace, setMethod, setSample, setOutcome, setResult])
        clear('');
      setAtMm(null);
      setImages([]);
      afterwards();
    });
  };
  return (
    <form className="paper stack tests" aria-label={say('Another test')} onSubmit={record}>
      <h1>{say('Another test')}</h1>
      <WordSelect
        label={say('What is tested')}
        words={TEST_KINDS}
        value={kind}
        onValue={(next) => {
          setKind(next);
          setOutcome('');
        }}
      />
      {known ? (
        <>
          <p className="hint">{sayWord(known.definition)}</p>
          <Cautions keys={known.cautions} />
        </>
      ) : null}
      {on === null ? null : (
        <TestPlaces panel={on.panel} net={on.net} placed={placed} atMm={atMm} onPlace={tap} />
      )}
      <div className="two">
        <TextField
          label={say('On which piece, lead or panel')}
          required
          value={subject}
          onValue={setSubject}
        />
        <TextField
          label={say('Where on it')}
          required
          placeholder={say('lower left, painted face')}
          value={place}
          onValue={setPlace}
        />
        <TextField label={say('How')} required value={method} onValue={setMethod} />
        <TextField
          label={say('By whom, as a trade')}
          placeholder={say('conservator')}
          value={byRole}
          onValue={setByRole}
        />
      </div>
      <TestPictures
        siteId={siteId}
        subject={subject}
        panel={panel}
        older={older}
        chosen={images}
        onChosen={setImages}
      />
      {known?.takesSample ? (
        <TextField
          label={say('What was taken, and where it is kept')}
          value={sample}
          onValue={setSample}
        />
      ) : null}
      {known ? (
        <div className="two">
          <WordSelect
            label={say('What came of it')}
            hint={say('left open: the result is awaited')}
            words={known.outcomes}
            value={outcome}
            onValue={setOutcome}
          />
          {outcome === '' ? null : (
            <TextField label={say('In words, with figures')} value={result} onValue={setResult} />
          )}
        </div>
      ) : null}
      <Refusal why={why} />
      <button type="submit" className="act" disabled={busy || kind === ''}>
        {say('Record the test')}
      </button>
    </form>
  );
}
