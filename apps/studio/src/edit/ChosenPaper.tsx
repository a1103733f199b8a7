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
import { Figure } from '../platform/figure/Figure.js';
import { say } from '../platform/language/say.js';
import { NumberField, readNumber } from '../platform/NumberField.js';
import { sayReasons } from '../platform/say-doubt.js';
import { sayFixed, sayLengthMm, sayRatio } from '../platform/say-number.js';
import { sayPart } from '../platform/say-part.js';
import { TextField } from '../platform/TextField.js';
import { type Chosen, handPaperId, jointsOf } from './hand.js';
import type { DrawingDesk } from './use-drawing.js';

export const kindWords: Readonly<Record<LeadKind, string>> = {
  came: say('came'),
  outer: say('outer came'),
  mending: say('mending lead: glass was grozed away, the piece is two'),
  strap: say('strap lead: on one face, the piece stays one'),
  foil: say('copper foil'),
  broken: say('broken: ends in the glass'),
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
        : say('{leads, plural, one {# lead} other {# leads}}', { leads: leads.length })
      : null,
    joints.length > 0
      ? joints.length === 1
        ? sayPart('joint', joints[0]!)
        : say('{joints, plural, one {# joint} other {# joints}}', { joints: joints.length })
      : null,
  ]
    .filter((part) => part !== null)
    .join(say(' and '));
  const key = [...chosen.leads, ...joints].join(' ');
  return (
    <article
      className="paper stack"
      aria-label={say('What is chosen')}
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
    if (
      desk.act(say('set {ids, plural, one {# lead} other {# leads}}', { ids: ids.length }), () =>
        setLeads(drawing, ids, word),
      )
    ) {
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
            <th scope="row">{say('length')}</th>
            <td>
              <Figure kind="lead-length" of={say('length')}>
                {say('{leads}, computed', {
                  leads: sayLengthMm(
                    leads.reduce((sum, lead) => sum + polylineLengthMm(lead.lineMm), 0),
                  ),
                })}
              </Figure>
            </td>
          </tr>
          <tr>
            <th scope="row">{say('face width')}</th>
            <td>
              <Figure kind="lead-width" of={say('face width')}>
                {most - least < 0.05
                  ? `${sayFixed(least, 1)} mm`
                  : say('{value} to {value2} mm', {
                      value: sayFixed(least, 1),
                      value2: sayFixed(most, 1),
                    })}
              </Figure>
            </td>
          </tr>
          {leads.length === 1 && first && first.confidenceP < 1 ? (
            <tr>
              <th scope="row">{say('read with')}</th>
              <td>
                <Figure kind="confidence" of={say('read with')}>
                  {say('{confidenceP} confidence{doubts}', {
                    confidenceP: sayRatio(first.confidenceP),
                    doubts: first.doubts.length > 0 ? `; ${sayReasons(first.doubts)}` : '',
                  })}
                </Figure>
              </td>
            </tr>
          ) : null}
        </tbody>
      </table>
      <Field label={say('It is')}>
        {(at) => (
          <select
            {...at}
            value={kind ?? ''}
            onChange={(event) => {
              const next = event.target.value as LeadKind;
              desk.act(
                say('call {ids, plural, one {# lead} other {# leads}} {next}', {
                  ids: ids.length,
                  next,
                }),
                () => setLeads(drawing, ids, { kind: next }),
              );
            }}
          >
            {kind === undefined ? <option value="">{say('of several kinds')}</option> : null}
            {kinds.map((one) => (
              <option key={one} value={one}>
                {kindWords[one]}
              </option>
            ))}
          </select>
        )}
      </Field>
      <div className="two">
        <NumberField label={say('Face width, mm')} value={width} onValue={setWidth} />
        <TextField
          label={say('Profile')}
          hint={say('from a gauge at a cut end; a rubbing never tells it')}
          value={profile ?? knownProfile ?? ''}
          onValue={setProfile}
        />
      </div>
      <button type="submit" className="quiet" disabled={typed === undefined && profile === null}>
        {say('Set on {ids, plural, one {# lead} other {# leads}}', { ids: ids.length })}
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
        desk.act(say('move a joint'), () =>
          placeJoints(desk.drawing, new Map([[jointId, [nextX, nextY]]])),
        );
      }}
    >
      <div className="two">
        <NumberField label={say('From the left, mm')} value={typedX} onValue={setX} />
        <NumberField label={say('From the top, mm')} value={typedY} onValue={setY} />
      </div>
      <button type="submit" className="quiet" disabled={nextX === undefined || nextY === undefined}>
        {say('Put it there')}
      </button>
      <p className="hint">{say('Arrow keys move it by 0.1 mm, with Shift by 1 mm.')}</p>
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
        if (
          desk.act(
            say('move {size, plural, one {# joint} other {# joints}}', { size: joints.size }),
            make,
          )
        ) {
          setRight('');
          setDown('');
        }
      }}
    >
      <div className="two">
        <NumberField label={say('Move right, mm')} value={right} onValue={setRight} />
        <NumberField label={say('Move down, mm')} value={down} onValue={setDown} />
      </div>
      <button type="submit" className="quiet" disabled={by[0] === 0 && by[1] === 0}>
        {say('Move')}
      </button>
    </form>
  );
}
