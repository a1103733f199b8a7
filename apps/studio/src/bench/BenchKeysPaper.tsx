import { KeysTable } from '../platform/KeysTable.js';
import { say } from '../platform/language/say.js';

const keys: readonly (readonly [string, string])[] = [
  [say('two letters'), say('a term; its letters stand beside each in “other finding…”')],
  ['Q', say('the last term again')],
  ['Enter', say('record what is drawn and go on')],
  [
    say('arrows, Enter'),
    say('drawing by keys: push the drawing under the cross, with Shift finely, and set a point'),
  ],
  ['Backspace', say('one step of the drawing back')],
  ['U', say('take the last recorded one back; the ledger keeps both')],
  ['C', say('the finding that is looked at, on other pieces')],
  ['A', say('areas: lasso, brush, whole piece')],
  ['X', say('areas: take away instead of adding')],
  [say(', and .'), say('narrower and wider brush')],
  ['N', say('no pull to edges and joints; Alt for one stroke')],
  [say('Space and drag'), say('push the drawing with the mouse')],
  ['B', say('held: the other sheet in the first one’s place')],
  ['V', say('the next sheet of the stack')],
  ['Esc', say('drop what is drawn, then leave the term')],
];

/** What single keys do at the bench, and the switch for all of them. */
export function BenchKeysPaper({ on, onSwitch }: { on: boolean; onSwitch: (on: boolean) => void }) {
  return <KeysTable keys={keys} on={on} onSwitch={onSwitch} />;
}
