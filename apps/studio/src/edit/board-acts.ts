/** The acts of the board by button and by key: one table for both. */

import { say } from '../platform/language/say.js';
import type { Tool } from './board-scene.js';
import type { DrawBoard } from './draw-board.js';
import type { DockAct } from './ToolDock.js';
import type { DrawingDesk } from './use-drawing.js';
import type { HandActs } from './use-hand-acts.js';
import type { Keys } from './use-keys.js';
import type { Answer } from './use-review.js';

export function dockActs({
  desk,
  hand,
  board,
  blink,
  setBlink,
  reviewing,
  asked,
  doubts,
  onReview,
}: {
  desk: DrawingDesk;
  hand: HandActs;
  board: DrawBoard | null;
  blink: boolean;
  setBlink: (on: boolean) => void;
  reviewing: boolean;
  /** a question waits for what is drawn */
  asked: boolean;
  doubts: number;
  onReview: () => void;
}): DockAct[] {
  const { chosen, tool } = hand;
  const leads = chosen.leads.size;
  const last = desk.history.past.at(-1)?.name;
  const next = desk.history.future.at(-1)?.name;
  const take = (to: Tool) => () => {
    hand.take(to);
  };
  const ending: DockAct[] =
    hand.points === 0
      ? asked && tool === 'draw'
        ? [{ key: 'M', words: say('back to the question'), give: take('move') }]
        : []
      : [
          {
            key: 'F',
            words: say('end it here'),
            disabled: hand.points < 2,
            give: () => board?.endLine(),
          },
          { key: 'Esc', words: say('drop it'), give: () => board?.dropLine() },
        ];
  return [
    ...ending,
    { key: 'M', words: say('move'), pressed: tool === 'move', give: take('move') },
    { key: 'D', words: say('draw a lead'), pressed: tool === 'draw', give: take('draw') },
    { key: 'C', words: say('put a joint'), pressed: tool === 'cut', give: take('cut') },
    {
      key: 'E',
      words: say('erase'),
      disabled: leads === 0 && chosen.joints.size !== 1,
      give: hand.erase,
    },
    { key: 'J', words: say('join a gap'), give: hand.join },
    { key: 'S', words: say('straighten'), disabled: leads === 0, give: hand.straighten },
    { key: 'W', words: say('all of this width'), disabled: leads === 0, give: hand.sameWidth },
    {
      key: 'H',
      words: say('choose many'),
      pressed: tool === 'choose',
      give: take(tool === 'choose' ? 'move' : 'choose'),
    },
    {
      key: 'V',
      words: say('bend by arrows'),
      pressed: hand.bending,
      give: () => {
        hand.setBending(!hand.bending);
      },
    },
    { key: 'O', words: say('find the outer came'), give: hand.outer },
    {
      key: 'B',
      words: say('blink'),
      more: say('see the picture alone'),
      pressed: blink,
      give: () => {
        setBlink(!blink);
      },
    },
    {
      key: 'Z',
      words: say('undo'),
      disabled: last === undefined,
      ...(last === undefined ? {} : { more: last }),
      give: desk.undo,
    },
    {
      key: 'X',
      words: say('redo'),
      disabled: next === undefined,
      ...(next === undefined ? {} : { more: next }),
      give: desk.redo,
    },
    {
      key: 'R',
      words: doubts > 0 ? say('doubts ({doubts})', { doubts }) : say('look through'),
      pressed: reviewing,
      give: onReview,
    },
  ];
}

const arrows = [
  ['ArrowLeft', -1, 0],
  ['ArrowRight', 1, 0],
  ['ArrowUp', 0, -1],
  ['ArrowDown', 0, 1],
] as const;

/** Answers to a question come before the tools that have the same key. */
export function boardKeys({
  acts,
  hand,
  board,
  setBlink,
  answers,
  onPaper,
}: {
  acts: readonly DockAct[];
  hand: HandActs;
  board: DrawBoard | null;
  setBlink: (on: boolean) => void;
  answers: readonly Answer[];
  /** goes to the paper about what is chosen */
  onPaper: () => void;
}): Keys {
  const keys: Record<string, (event: KeyboardEvent) => void> = {};
  for (const { key, give, disabled } of acts) if (!disabled) keys[key.toLowerCase()] = give;
  const undo = keys['z'];
  const redo = keys['x'];
  keys['z'] = (event) => (event.shiftKey ? redo : undo)?.(event);
  keys['b'] = (event) => {
    if (event.repeat) return;
    setBlink(true);
    window.addEventListener(
      'keyup',
      () => {
        setBlink(false);
      },
      { once: true },
    );
  };
  if (acts.some(({ key, disabled }) => key === 'E' && !disabled)) keys['Delete'] = hand.erase;
  keys[','] = () => {
    hand.step(-1);
  };
  keys['.'] = () => {
    hand.step(1);
  };
  keys['l'] = hand.stepEnd;
  keys['p'] = onPaper;
  if (hand.chosen.leads.size + hand.chosen.joints.size > 0 && hand.tool === 'move') {
    for (const [key, x, y] of arrows)
      keys[key] = (event) => {
        hand.nudge(x, y, event);
      };
  }
  keys['Escape'] = () => {
    if (hand.points > 0) board?.dropLine();
    else if (board?.dropBox()) return;
    else if (hand.tool !== 'move') hand.take('move');
    else hand.setChosen({ leads: new Set(), joints: new Set() });
  };
  if (hand.tool === 'draw') {
    if (hand.points > 0) keys['Backspace'] = () => board?.takeBackPoint();
  } else {
    for (const { key, give } of answers) {
      keys[key === '⌫' ? 'Backspace' : key.toLowerCase()] = () => {
        give();
      };
    }
  }
  return keys;
}
