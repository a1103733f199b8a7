import { useMemo, useState } from 'react';
import {
  addLead,
  answerPlaces,
  confirmLeads,
  type Drawing,
  eraseLeads,
  joinGap,
  likelyJoin,
  type Question,
  questionsOf,
  setLeads,
} from '#libs/net';
import { say } from '../platform/language/say.js';
import type { DrawingDesk } from './use-drawing.js';

export interface Answer {
  readonly key: string;
  readonly words: string;
  readonly give: () => void;
}

export interface Review {
  readonly question: Question | null;
  /** 1-based place in the queue, and how many there are in all */
  readonly at: number;
  readonly of: number;
  readonly skipped: number;
  /** open questions, skipped ones too */
  readonly left: number;
  readonly answers: readonly Answer[];
  readonly again: () => void;
}

/** The queue of doubts, worst first: one question at a time, answered by single keys. */
export function useReview(desk: DrawingDesk, onDraw: (question: Question) => void): Review {
  const { drawing } = desk;
  const questions = useMemo(() => questionsOf(drawing), [drawing]);
  const [asked, setAsked] = useState<ReadonlySet<string>>(new Set<string>());
  const [skipped, setSkipped] = useState<readonly string[]>([]);
  const fresh = questions.filter(({ key }) => !asked.has(key));
  if (fresh.length > 0) setAsked(new Set([...asked, ...fresh.map(({ key }) => key)]));

  const open = questions.filter(({ key }) => !skipped.includes(key));
  const question = open[0] ?? null;
  const of = Math.max(asked.size, questions.length);
  const skip = () => {
    if (question) setSkipped([...skipped, question.key]);
  };
  const back = () => {
    // The last thing done was a skip when what was skipped last still waits; else it was an answer.
    const last = skipped.at(-1);
    const answeredSince = desk.history.past.at(-1)?.name.startsWith('answer') ?? false;
    if (last !== undefined && !answeredSince) setSkipped(skipped.slice(0, -1));
    else if (answeredSince) desk.undo();
    else setSkipped(skipped.slice(0, -1));
  };
  const answers: Answer[] = question
    ? [
        ...answersTo(question, desk, () => {
          onDraw(question);
        }),
        { key: 'S', words: 'skip', give: skip },
      ]
    : [];
  return {
    question,
    at: of - open.length + 1,
    of,
    left: questions.length,
    skipped: skipped.filter((key) => questions.some((one) => one.key === key)).length,
    answers: [...answers, { key: '⌫', words: 'back', give: back }],
    again: () => {
      setSkipped([]);
    },
  };
}

function answersTo(question: Question, desk: DrawingDesk, draw: () => void): Answer[] {
  const { drawing } = desk;
  const answer = (key: string, words: string, make: () => Drawing): Answer => ({
    key,
    words,
    give: () => {
      desk.act(say('answer: {words}', { words }), make);
    },
  });
  const { leadId, jointId, placeIds } = question;
  if (question.about === 'gap' && leadId !== null && jointId !== null) {
    const target = likelyJoin(drawing, jointId);
    return [
      ...(target
        ? [answer('J', say('join it across'), () => joinGap(drawing, jointId, target))]
        : []),
      answer('K', say('it ends here, broken'), () =>
        confirmLeads(setLeads(drawing, [leadId], { kind: 'broken' }), [leadId]),
      ),
      answer('N', say('erase this end'), () => eraseLeads(drawing, [leadId])),
      { key: 'D', words: say('draw it'), give: draw },
    ];
  }
  if (question.about === 'lead' && leadId !== null) {
    return [
      answer('Y', say('yes, it is there'), () => confirmLeads(drawing, [leadId])),
      answer('N', say('no, erase it'), () => eraseLeads(drawing, [leadId])),
      { key: 'D', words: say('draw what is missing'), give: draw },
    ];
  }
  const asDrawn = () => answerPlaces(drawing, placeIds);
  return question.reasons.includes('may-be-missing')
    ? [
        { key: 'D', words: say('draw what is missing'), give: draw },
        answer('N', say('nothing is missing'), asDrawn),
      ]
    : [
        answer('Y', say('yes, it is right'), asDrawn),
        { key: 'D', words: say('draw what is missing'), give: draw },
      ];
}

/** A lead drawn because of a question answers it when it passes the place. */
export function drawnAnswer(
  drawing: Drawing,
  question: Question | null,
  line: Parameters<typeof addLead>[3],
): Drawing {
  if (question?.about !== 'place') return drawing;
  const [x, y] = question.xyMm;
  const passes = line.some(
    ([px, py]) => Math.hypot(px - x, py - y) <= Math.max(question.radiusMm, 5),
  );
  return passes ? answerPlaces(drawing, question.placeIds) : drawing;
}
