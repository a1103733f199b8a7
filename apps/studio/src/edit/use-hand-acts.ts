import { useMemo, useState } from 'react';
import {
  addLead,
  bendLead,
  eraseLeads,
  healJoint,
  joinGap,
  leadsOfWidth,
  likelyJoin,
  markOuter,
  moveJoints,
  NetError,
  openEnds,
  pointAlongMm,
  polylineLengthMm,
  type Question,
  splitLead,
  straightenLeads,
  type Target,
} from '#libs/net';
import { say } from '../platform/language/say.js';
import { readNumber } from '../platform/NumberField.js';
import { sayPart } from '../platform/say-part.js';
import type { Tool } from './board-scene.js';
import type { DrawBoard } from './draw-board.js';
import { type Chosen, jointsOf, nothingChosen } from './hand.js';
import type { LeadPlan } from './LeadToDraw.js';
import type { DrawingDesk } from './use-drawing.js';
import { drawnAnswer } from './use-review.js';

/** Everything that can be done to the drawing by a key, a button or the hand. */
export function useHandActs(desk: DrawingDesk, board: DrawBoard | null, firstPlan: LeadPlan) {
  const { drawing } = desk;
  const [tool, setTool] = useState<Tool>('move');
  const [picked, setChosen] = useState<Chosen>(nothingChosen);
  const [bending, setBending] = useState(false);
  // The lead that the keys came to last, while they only aim.
  const [steppedTo, setSteppedTo] = useState<string | null>(null);
  const [plan, setPlan] = useState<LeadPlan>(firstPlan);
  const [points, setPoints] = useState(0);

  // What was erased is no longer chosen.
  const chosen = useMemo(
    (): Chosen => ({
      leads: new Set([...picked.leads].filter((id) => drawing.leads.has(id))),
      joints: new Set([...picked.joints].filter((id) => drawing.joints.has(id))),
    }),
    [picked, drawing],
  );
  const leads = [...chosen.leads];
  const [joint] = chosen.joints;
  const oneJoint = chosen.joints.size === 1 && leads.length === 0 ? joint : undefined;

  const take = (next: Tool) => {
    setTool(next);
    setPoints(0);
    setSteppedTo(leads[0] ?? null);
    if (next === 'draw' || next === 'cut') setChosen(nothingChosen);
  };
  const erase = () => {
    if (leads.length > 0) {
      const name = say('{leads, plural, one {erase {part}} other {erase # leads}}', {
        leads: leads.length,
        part: sayPart('lead', leads[0]!),
      });
      desk.act(name, () => eraseLeads(drawing, leads));
    } else if (oneJoint !== undefined)
      desk.act(say('take a joint out'), () => healJoint(drawing, oneJoint));
  };
  const join = () => {
    const ends = openEnds(drawing);
    const [x, y] = board?.middle() ?? [0, 0];
    const end =
      ends.find(({ jointId, leadId }) => jointId === oneJoint || chosen.leads.has(leadId)) ??
      ends.sort(
        (a, b) =>
          Math.hypot(a.xyMm[0] - x, a.xyMm[1] - y) - Math.hypot(b.xyMm[0] - x, b.xyMm[1] - y),
      )[0];
    const target = end && likelyJoin(drawing, end.jointId);
    if (end && !target) board?.showPlace(end.xyMm, 15);
    desk.act(say('join across a gap'), () => {
      if (end && target) return joinGap(drawing, end.jointId, target);
      const why = end
        ? say('nothing lies ahead of this end within reach. Draw the lead that is missing')
        : say('no lead ends in the glass: there is no gap to join');
      throw new NetError('bad-edit', why);
    });
  };
  return {
    tool,
    take,
    chosen,
    setChosen,
    bending,
    setBending,
    plan,
    setPlan,
    points,
    erase,
    join,
    straighten: () => {
      desk.act('straighten', () => straightenLeads(drawing, leads));
    },
    sameWidth: () => {
      const [first] = leads;
      if (first !== undefined)
        setChosen({ leads: new Set(leadsOfWidth(drawing, first)), joints: new Set() });
    },
    outer: () => {
      desk.act(say('mark the outer came'), () => markOuter(drawing));
    },
    nudge: (x: number, y: number, event: KeyboardEvent) => {
      const step = event.shiftKey ? 1 : 0.1;
      const by = [x * step, y * step] as const;
      const [only] = leads;
      const line = only === undefined ? undefined : drawing.leads.get(only)?.lineMm;
      if (bending && line && leads.length === 1 && chosen.joints.size === 0) {
        const alongMm = polylineLengthMm(line) / 2;
        const [atX, atY] = pointAlongMm(line, alongMm);
        desk.act(
          say('bend {sayPart}', { sayPart: sayPart('lead', only!) }),
          () => bendLead(drawing, only!, alongMm, [atX + by[0], atY + by[1]]),
          true,
        );
        return;
      }
      const name = say('nudge {value}', {
        value: [...chosen.leads, ...chosen.joints].join(' '),
      }).slice(0, 60);
      const joints = jointsOf(drawing, chosen);
      desk.act(name, () => moveJoints(drawing, joints, by), true);
    },
    /** Steps from lead to lead, so that no mouse is needed: chooses it, or aims at its middle. */
    step: (by: 1 | -1) => {
      const ids = [...drawing.leads.keys()];
      const last = tool === 'move' ? leads[0] : steppedTo;
      const at = last === undefined || last === null ? -1 : ids.indexOf(last);
      const next = ids[(at + by + ids.length + (at < 0 && by < 0 ? 1 : 0)) % ids.length];
      const line = next === undefined ? undefined : drawing.leads.get(next)?.lineMm;
      if (next === undefined || !line) return;
      setSteppedTo(next);
      if (tool === 'move') setChosen({ leads: new Set([next]), joints: new Set() });
      else board?.aimAt(pointAlongMm(line, polylineLengthMm(line) / 2));
    },
    /** From a lead to its ends and back. */
    stepEnd: () => {
      const [first = tool === 'move' ? undefined : (steppedTo ?? undefined)] =
        tool === 'move' ? leads : [];
      const lead = first === undefined ? undefined : drawing.leads.get(first);
      if (lead && tool !== 'move') board?.aimAt(drawing.joints.get(lead.from)!);
      else if (lead) setChosen({ leads: new Set(), joints: new Set([lead.from]) });
      else if (oneJoint !== undefined) {
        const on = [...drawing.leads].find(([, one]) => one.from === oneJoint);
        if (on) setChosen({ leads: new Set(), joints: new Set([on[1].to]) });
      }
    },
    cut: (leadId: string, alongMm: number) => {
      let made = '';
      const done = desk.act(
        say('put a joint on {sayPart}', { sayPart: sayPart('lead', leadId) }),
        () => {
          const cut = splitLead(drawing, leadId, alongMm);
          made = cut.jointId;
          return cut.drawing;
        },
      );
      if (!done) return;
      setTool('move');
      setChosen({ leads: new Set(), joints: new Set([made]) });
    },
    /** @param question that the lead may answer */
    line: (line: readonly Target[], ended: boolean, question: Question | null) => {
      setPoints(ended ? 0 : line.length);
      if (!ended || line.length < 2) return;
      const [first, last] = [line[0]!, line.at(-1)!];
      const via = line.slice(1, -1).map(({ xyMm }) => xyMm);
      const faceWidthMm = readNumber(plan.width) ?? 0;
      desk.act(
        say('draw a {kind}', { kind: plan.kind === 'mending' ? say('mending lead') : say('lead') }),
        () => {
          const added = addLead(drawing, first, last, via, { kind: plan.kind, faceWidthMm });
          const drawn = added.leadIds.flatMap((id) => added.drawing.leads.get(id)?.lineMm ?? []);
          return drawnAnswer(added.drawing, question, drawn);
        },
      );
      // What was asked for is drawn: the next question is asked, its answers under the thumb again.
      if (question) setTool('move');
    },
  };
}

export type HandActs = ReturnType<typeof useHandActs>;
