/** @jest-environment jsdom */

import { useState } from 'react';
import {
  beginHistory,
  buildNet,
  type Drawing,
  did,
  eraseLeads,
  leadNear,
  lozengeSketch,
  type Net,
  openDrawing,
  splitLead,
  undo,
} from '#libs/net';
import { act, renderHook } from '../../../../test/support/rendered.js';
import type { DrawingDesk } from './use-drawing.js';
import { useReview } from './use-review.js';

/** Quarries of 100 × 120 mm; one doubtful lead, one place where a lead may be missing. */
const net: Net = (() => {
  const built = buildNet(
    lozengeSketch({
      columns: 3,
      rows: 3,
      widthMm: 100,
      heightMm: 120,
      faceWidthMm: 6,
      outerFaceMm: 10,
    }),
    { face: 'inside', layer: 'front', surface: 'plan', madeBy: { name: 'test', version: '1' } },
  );
  const leadId = leadNear(openDrawing(built), [125, 150], 3)!.leadId;
  return {
    ...built,
    leads: built.leads.map((lead) =>
      lead.leadId === leadId ? { ...lead, confidenceP: 0.6, doubts: ['weak-wax'] } : lead,
    ),
    doubtfulPlaces: [{ xyMm: [50, 60], radiusMm: 9, reason: 'may-be-missing', leadId: null }],
  };
})();

/** The desk without its judge, which needs a browser's worker. */
function useDeskAndReview(begin: Drawing) {
  const [history, setHistory] = useState(() => beginHistory(begin));
  const desk: DrawingDesk = {
    history,
    drawing: history.present,
    judged: null,
    judging: false,
    refused: null,
    act: (name, make) => {
      setHistory(did(history, name, make()));
      return true;
    },
    undo: () => {
      setHistory(undo(history));
    },
    redo: () => undefined,
    startAgain: () => undefined,
  };
  return { desk, review: useReview(desk, () => undefined) };
}

const begin = (drawing: Drawing) => {
  const { result } = renderHook(() => useDeskAndReview(drawing));
  const press = (key: string) => {
    const answer = result.current.review.answers.find((one) => one.key === key);
    if (!answer) throw new Error(`no answer ${key}`);
    void act(() => {
      answer.give();
    });
  };
  return { now: () => result.current, press };
};

describe('the queue', () => {
  it('counts on, goes back over an answer and over a skip', () => {
    const { now, press } = begin(openDrawing(net));
    expect([now().review.at, now().review.of, now().review.question?.about]).toEqual([
      1,
      2,
      'place',
    ]);
    press('N');
    expect([now().review.at, now().review.question?.about]).toEqual([2, 'lead']);
    press('⌫');
    expect([now().review.at, now().review.question?.about]).toEqual([1, 'place']);
    press('S');
    expect([now().review.at, now().review.question?.about]).toEqual([2, 'lead']);
    press('⌫');
    expect(now().review.question?.about).toBe('place');
    press('S');
    press('Y');
    expect([now().review.question, now().review.skipped, now().review.left]).toEqual([null, 1, 1]);
    void act(() => {
      now().review.again();
    });
    press('N');
    expect([now().review.question, now().review.left]).toEqual([null, 0]);
    expect(now().desk.drawing.places.size).toBe(0);
    expect([...now().desk.drawing.leads.values()].every(({ doubts }) => doubts.length === 0)).toBe(
      true,
    );
  });

  it('asks of an open end first, and joins it by one key', () => {
    const whole = openDrawing(net);
    const near = leadNear(whole, [225, 270], 3)!;
    const first = splitLead(whole, near.leadId, 30);
    const rest = leadNear(first.drawing, [230, 264], 6, (id) => id !== near.leadId)!;
    const second = splitLead(first.drawing, rest.leadId, 15);
    const gap = leadNear(second.drawing, middle(second.drawing, first.jointId, second.jointId), 1)!;
    const { now, press } = begin(eraseLeads(second.drawing, [gap.leadId]));
    expect([now().review.of, now().review.question?.about]).toEqual([4, 'gap']);
    press('J');
    expect(now().review.question?.about).toBe('place');
    expect(now().desk.drawing.leads.size).toBe(whole.leads.size);
  });
});

function middle(drawing: Drawing, a: string, b: string): readonly [number, number] {
  const [p, q] = [drawing.joints.get(a)!, drawing.joints.get(b)!];
  return [(p[0] + q[0]) / 2, (p[1] + q[1]) / 2];
}
