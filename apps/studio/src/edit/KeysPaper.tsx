import { KeysTable } from '../platform/KeysTable.js';

const keys: readonly (readonly [string, string])[] = [
  [', and .', 'lead before, lead after'],
  ['L', 'from a lead to its ends and back'],
  ['P', 'to the paper about what is chosen or drawn; Esc leads back'],
  ['arrows', 'move what is chosen by 0.1 mm, with Shift by 1 mm; bend it while V is on'],
  ['arrows, Enter', 'drawing, cutting, choosing many: aim, with Shift finely, and tap there'],
  ['Enter, arrows, Enter', 'choosing many: a box from one corner to the other'],
  ['Shift + tap or drag', 'choose more, or all in a box'],
  ['Alt while dragging', 'no snapping'],
  ['Esc', 'drop it, let go of what is chosen'],
];

/** The keys that have no button of their own, and the switch for all single keys. */
export function KeysPaper({ on, onSwitch }: { on: boolean; onSwitch: (on: boolean) => void }) {
  return <KeysTable keys={keys} on={on} onSwitch={onSwitch} />;
}
