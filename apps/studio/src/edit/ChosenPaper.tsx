import { type SubmitEvent, useState } from 'react';
import {
  type Drawing,
  type LeadKind,
  moveJoints,
  placeJoints,
  polylineLengthMm,
  setLeads,
} from '#libs/net';
import { Field } from '../platform/Field.js';
import { NumberField, readNumber } from '../platform/NumberField.js';
import { sayReasons } from '../platform/say-doubt.js';
import { countOf, sayLengthMm, sayRatio } from '../platform/say-number.js';
import { sayPart } from '../platform/say-part.js';
import { type Chosen, handPaperId, jointsOf } from './hand.js';
import type { DrawingDesk } from './use-drawing.js';

export const kindWords: Readonly<Record<LeadKind, string>> = {
  came: 'came',
  outer: 'outer came',
  mending: 'mending lead: glass was grozed away, the piece is two',
  strap: 'strap lead: on one face, the piece stays one',
  foil: 'copper foil',
  broken: 'broken: ends in the glass',
};
const kinds = Object.keys(kindWords) as LeadKind[];

/** What is chosen, in numbers that can be typed; Escape goes back to the board. */
export function ChosenPaper({
  desk,
  chosen,
  onBoard,
}: {
  desk: DrawingDesk;
  chosen: Chosen;
  onBoard: () => void;
}) {
  const { drawing } = desk;
  const leads = [...chosen.leads].flatMap((id) => drawing.leads.get(id) ?? []);
  const joints = [...chosen.joints].filter((id) => drawing.joints.has(id));
  if (leads.length + joints.length === 0) return null;
  const name = [
    leads.length > 0
      ? leads.length === 1
        ? sayPart('lead', [...chosen.leads][0]!)
        : countOf(leads.length, 'lead')
      : null,
    joints.length > 0
      ? joints.length === 1
        ? sayPart('joint', joints[0]!)
        : countOf(joints.length, 'joint')
      : null,
  ]
    .filter((part) => part !== null)
    .join(' and ');
  const key = [...chosen.leads, ...joints].join(' ');
  return (
    <article
      className="paper stack"
      aria-label="What is chosen"
      id={handPaperId}
      onKeyDown={(event) => {
        if (event.key === 'Escape') onBoard();
      }}
    >
      <h2>{name}</h2>
      {leads.length > 0 ? (
        <LeadFields key={`l ${key}`} desk={desk} ids={[...chosen.leads]} />
      ) : null}
      {leads.length === 0 && joints.length === 1 ? (
        <JointFields
          key={`j ${key} ${drawing.joints.get(joints[0]!)!.join()}`}
          desk={desk}
          jointId={joints[0]!}
        />
      ) : (
        <MoveFields key={`m ${key}`} desk={desk} joints={jointsOf(drawing, chosen)} />
      )}
    </article>
  );
}

function LeadFields({ desk, ids }: { desk: DrawingDesk; ids: readonly string[] }) {
  const { drawing } = desk;
  const leads = ids.flatMap((id) => drawing.leads.get(id) ?? []);
  const [first] = leads;
  const same = <T,>(of: (lead: (typeof leads)[number]) => T): T | undefined =>
    first && leads.every((lead) => of(lead) === of(first)) ? of(first) : undefined;
  const widths = leads.map((lead) => lead.faceWidthMm);
  const [width, setWidth] = useState('');
  const [profile, setProfile] = useState<string | null>(null);
  const typed = readNumber(width);
  const kind = same((lead) => lead.kind);
  const knownProfile = same((lead) => lead.profile);
  const put = (event: SubmitEvent) => {
    event.preventDefault();
    const word = {
      ...(typed === undefined ? {} : { faceWidthMm: typed }),
      ...(profile === null ? {} : { profile: profile.trim() === '' ? null : profile.trim() }),
    };
    if (desk.act(`set ${countOf(ids.length, 'lead')}`, () => setLeads(drawing, ids, word))) {
      setWidth('');
      setProfile(null);
    }
  };
  const [least, most] = [Math.min(...widths), Math.max(...widths)];
  return (
    <form className="stack" onSubmit={put}>
      <table className="facts">
        <tbody>
          <tr>
            <th scope="row">length</th>
            <td>
              {sayLengthMm(leads.reduce((sum, lead) => sum + polylineLengthMm(lead.lineMm), 0))},
              computed
            </td>
          </tr>
          <tr>
            <th scope="row">face width</th>
            <td>
              {most - least < 0.05
                ? `${least.toFixed(1)} mm`
                : `${least.toFixed(1)} to ${most.toFixed(1)} mm`}
            </td>
          </tr>
          {leads.length === 1 && first && first.confidenceP < 1 ? (
            <tr>
              <th scope="row">read with</th>
              <td>
                {sayRatio(first.confidenceP)} confidence
                {first.doubts.length > 0 ? `; ${sayReasons(first.doubts)}` : ''}
              </td>
            </tr>
          ) : null}
        </tbody>
      </table>
      <Field label="It is">
        {(at) => (
          <select
            {...at}
            value={kind ?? ''}
            onChange={(event) => {
              const next = event.target.value as LeadKind;
              desk.act(`call ${countOf(ids.length, 'lead')} ${next}`, () =>
                setLeads(drawing, ids, { kind: next }),
              );
            }}
          >
            {kind === undefined ? <option value="">of several kinds</option> : null}
            {kinds.map((one) => (
              <option key={one} value={one}>
                {kindWords[one]}
              </option>
            ))}
          </select>
        )}
      </Field>
      <div className="two">
        <NumberField label="Face width, mm" value={width} onValue={setWidth} />
        <Field label="Profile" hint="from a gauge at a cut end; a rubbing never tells it">
          {(at) => (
            <input
              {...at}
              value={profile ?? knownProfile ?? ''}
              onChange={(event) => {
                setProfile(event.target.value);
              }}
            />
          )}
        </Field>
      </div>
      <button type="submit" className="quiet" disabled={typed === undefined && profile === null}>
        Set on {countOf(ids.length, 'lead')}
      </button>
    </form>
  );
}

function JointFields({ desk, jointId }: { desk: DrawingDesk; jointId: string }) {
  const [x, y] = desk.drawing.joints.get(jointId)!;
  const [typedX, setX] = useState(x.toFixed(2));
  const [typedY, setY] = useState(y.toFixed(2));
  const [nextX, nextY] = [readNumber(typedX), readNumber(typedY)];
  return (
    <form
      className="stack"
      onSubmit={(event: SubmitEvent) => {
        event.preventDefault();
        if (nextX === undefined || nextY === undefined) return;
        desk.act('move a joint', () =>
          placeJoints(desk.drawing, new Map([[jointId, [nextX, nextY]]])),
        );
      }}
    >
      <div className="two">
        <NumberField label="From the left, mm" value={typedX} onValue={setX} />
        <NumberField label="From the top, mm" value={typedY} onValue={setY} />
      </div>
      <button type="submit" className="quiet" disabled={nextX === undefined || nextY === undefined}>
        Put it there
      </button>
      <p className="hint">Arrow keys move it by 0.1 mm, with Shift by 1 mm.</p>
    </form>
  );
}

function MoveFields({ desk, joints }: { desk: DrawingDesk; joints: ReadonlySet<string> }) {
  const [right, setRight] = useState('');
  const [down, setDown] = useState('');
  const by = [readNumber(right) ?? 0, readNumber(down) ?? 0] as const;
  return (
    <form
      className="stack"
      onSubmit={(event: SubmitEvent) => {
        event.preventDefault();
        const make = (): Drawing => moveJoints(desk.drawing, joints, by);
        if (desk.act(`move ${countOf(joints.size, 'joint')}`, make)) {
          setRight('');
          setDown('');
        }
      }}
    >
      <div className="two">
        <NumberField label="Move right, mm" value={right} onValue={setRight} />
        <NumberField label="Move down, mm" value={down} onValue={setDown} />
      </div>
      <button type="submit" className="quiet" disabled={by[0] === 0 && by[1] === 0}>
        Move
      </button>
    </form>
  );
}
