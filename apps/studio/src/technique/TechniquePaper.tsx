import { type SubmitEvent, useState } from 'react';
import type { NetPiece } from '#libs/net';
import { HOLDS } from '#libs/vocabulary';
import type { Bench } from '../bench/use-bench.js';
import { describeTechnique, readTechniques, type Technique } from '../platform/api/techniques.js';
import { Cautions } from '../platform/Cautions.js';
import { Go } from '../platform/Go.js';
import { say } from '../platform/language/say.js';
import { NumberField } from '../platform/NumberField.js';
import { goTo } from '../platform/navigate.js';
import { pathOf } from '../platform/place.js';
import { Refusal } from '../platform/Refusal.js';
import { TextField } from '../platform/TextField.js';
import { today } from '../platform/today.js';
import { useAct } from '../platform/use-act.js';
import { useAnswer } from '../platform/use-answer.js';
import { WordSelect } from '../platform/WordSelect.js';
import { GenerationFields } from './GenerationFields.js';
import { LayerFields } from './LayerFields.js';
import { bodyOf, draftOf, EMPTY_GENERATION, withGlass, withoutLayer } from './technique-draft.js';
import './technique.css';

/** How one piece is made, as a sheet beside the drawing. */
export function TechniquePaper({ bench, inNet }: { bench: Bench; inNet: NetPiece }) {
  const { panel, pieces } = bench;
  const piece = pieces.find(({ mark }) => mark === inNet.pieceId);
  const said = useAnswer(`techniques ${panel.panelId}`, (signal) =>
    readTechniques(panel.panelId, signal),
  );
  if (piece === undefined || said.value === undefined)
    return (
      <section className="paper">
        <p role={said.why ? 'alert' : 'status'}>
          {piece === undefined
            ? say('Sign the drawing, and this piece can be described and kept by its number.')
            : (said.why ?? say('fetching what was said…'))}
        </p>
      </section>
    );
  const before = said.value.find(({ pieceId }) => pieceId === piece.pieceId);
  return (
    <TechniqueForm
      key={`${piece.pieceId} ${before?.version ?? 0}`}
      mark={`${panel.fullMark}.${piece.mark}`}
      pieceId={piece.pieceId}
      inNet={inNet}
      before={before}
      afterwards={bench.again}
    />
  );
}

function TechniqueForm({
  mark,
  pieceId,
  inNet,
  before,
  afterwards,
}: {
  mark: string;
  pieceId: string;
  inNet: NetPiece;
  before: Technique | undefined;
  afterwards: () => void;
}) {
  const [draft, setDraft] = useState(() => draftOf(before?.said));
  const { busy, why, run } = useAct();
  const { held, foilWidth, layers, generations, note } = draft;
  const number = /^\d+/.exec(inNet.pieceId)?.[0] ?? inNet.pieceId;
  const ringMm = inNet.cutRingMm.length < 3 ? inNet.centreRingMm : inNet.cutRingMm;
  const isFaced = layers.some(({ painted, worked }) => painted.length + worked.length > 0);
  const keep = (event: SubmitEvent) => {
    event.preventDefault();
    void run(async () => {
      await describeTechnique(pieceId, bodyOf(draft, today()), before?.version);
      afterwards();
      goTo(pathOf(mark) + window.location.search);
    });
  };
  return (
    <form
      className="paper technique stack"
      aria-label={say('How piece {piece} is made', { piece: inNet.pieceId })}
      onSubmit={keep}
    >
      <h1>{say('How {piece} is made', { piece: inNet.pieceId })}</h1>
      <WordSelect
        label={say('What holds it')}
        words={HOLDS}
        value={held}
        onValue={(by) => {
          setDraft({ ...draft, held: by });
        }}
      />
      {held === 'copper-foil' ? (
        <NumberField
          label={say('Width of the foil, mm')}
          value={foilWidth}
          onValue={(width) => {
            setDraft({ ...draft, foilWidth: width });
          }}
        />
      ) : null}
      {layers.map((_, i) => (
        <LayerFields
          key={i}
          layers={layers}
          at={i}
          ringMm={ringMm}
          onLayer={(layer) => {
            setDraft({ ...draft, layers: layers.map((one, k) => (k === i ? layer : one)) });
          }}
          onTakeAway={() => {
            setDraft({ ...draft, layers: withoutLayer(layers, i) });
          }}
        />
      ))}
      <div className="row">
        <button
          type="button"
          className="quiet"
          onClick={() => {
            setDraft({ ...draft, layers: withGlass(layers, false) });
          }}
        >
          {layers.length === 0 ? say('Describe the glass') : say('Another glass behind it')}
        </button>
        {layers.length === 0 ? null : (
          <button
            type="button"
            className="quiet"
            onClick={() => {
              setDraft({ ...draft, layers: withGlass(layers, true) });
            }}
          >
            {say('A glass laminated to it')}
          </button>
        )}
      </div>
      {generations.map((generation, i) => (
        <GenerationFields
          key={i}
          generation={generation}
          number={number}
          nth={i + 2}
          onGeneration={(next) => {
            setDraft({
              ...draft,
              generations: generations.map((one, k) => (k === i ? next : one)),
            });
          }}
          onTakeAway={() => {
            setDraft({ ...draft, generations: generations.filter((_, k) => k !== i) });
          }}
        />
      ))}
      <button
        type="button"
        className="quiet"
        onClick={() => {
          setDraft({ ...draft, generations: [...generations, EMPTY_GENERATION] });
        }}
      >
        {say('Another glass took its place')}
      </button>
      <TextField
        label={say('Note')}
        rows={2}
        value={note}
        onValue={(text) => {
          setDraft({ ...draft, note: text });
        }}
      />
      <Cautions keys={['broken-glass', 'lead-dust', ...(isFaced ? ['untested-paint'] : [])]} />
      <Refusal why={why} />
      <p className="row">
        <button type="submit" className="act" disabled={busy}>
          {say('Keep how it is made')}
        </button>
        <Go className="word" to={pathOf(mark) + window.location.search}>
          {say('leave it as it was')}
        </Go>
      </p>
    </form>
  );
}
