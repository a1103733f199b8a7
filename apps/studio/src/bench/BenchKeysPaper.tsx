import { KeysTable } from '../platform/KeysTable.js';

const keys: readonly (readonly [string, string])[] = [
  ['two letters', 'a term; its letters stand beside each in “other finding…”'],
  ['Q', 'the last term again'],
  ['Enter', 'record what is drawn and go on'],
  [
    'arrows, Enter',
    'drawing by keys: push the drawing under the cross, with Shift finely, and set a point',
  ],
  ['Backspace', 'one step of the drawing back'],
  ['U', 'take the last recorded one back; the ledger keeps both'],
  ['C', 'the finding that is looked at, on other pieces'],
  ['A', 'areas: lasso, brush, whole piece'],
  ['X', 'areas: take away instead of adding'],
  [', and .', 'narrower and wider brush'],
  ['N', 'no pull to edges and joints; Alt for one stroke'],
  ['Space and drag', 'push the drawing with the mouse'],
  ['B', 'held: the other sheet in the first one’s place'],
  ['V', 'the next sheet of the stack'],
  ['Esc', 'drop what is drawn, then leave the term'],
];

/** What single keys do at the bench, and the switch for all of them. */
export function BenchKeysPaper({ on, onSwitch }: { on: boolean; onSwitch: (on: boolean) => void }) {
  return <KeysTable keys={keys} on={on} onSwitch={onSwitch} />;
}
