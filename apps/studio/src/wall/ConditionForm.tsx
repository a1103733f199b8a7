import { type SubmitEvent, useState } from 'react';
import { CONDITION_WORDS } from '#libs/vocabulary';
import { recordCondition } from '../platform/api/conditions.js';
import { CLASSES, type ClassText, classOf, sayClass } from '../platform/condition-class.js';
import { say, sayWord } from '../platform/language/say.js';
import { OneOf } from '../platform/OneOf.js';
import { Refusal } from '../platform/Refusal.js';
import { TextField } from '../platform/TextField.js';
import { today } from '../platform/today.js';
import { useAct } from '../platform/use-act.js';

/** A person says in which class a panel was on a day, and what was seen. Nothing is proposed. */
export function ConditionForm({
  panelId,
  afterwards,
}: {
  panelId: string;
  afterwards: () => void;
}) {
  const [chosen, setChosen] = useState<ClassText | null>(null);
  const [reason, setReason] = useState('');
  const [happened, setHappened] = useState(today());
  const { busy, why, run } = useAct();
  const record = (event: SubmitEvent) => {
    event.preventDefault();
    if (chosen === null) return;
    void run(async () => {
      await recordCondition(panelId, { conditionClass: classOf(chosen), reason, happened });
      afterwards();
    });
  };
  const words = chosen === null ? null : CONDITION_WORDS[classOf(chosen)];
  return (
    <form className="classes" onSubmit={record} aria-label={say('Condition class')}>
      <OneOf
        legend={say('Condition class')}
        options={CLASSES}
        value={chosen}
        onValue={setChosen}
        words={sayClass}
      />
      <p className="hint" aria-live="polite">
        {words
          ? `${sayWord(words.label)}: ${sayWord(words.meaning)}.`
          : say('Choose what you found, or why nobody looked.')}
      </p>
      <TextField
        label={say('What was seen, or why nobody looked')}
        required
        rows={2}
        value={reason}
        onValue={setReason}
      />
      <TextField
        label={say('On which day')}
        hint="2026-05-04, 2019, 1998~"
        required
        value={happened}
        onValue={setHappened}
      />
      <Refusal why={why} />
      <p className="row">
        <button type="submit" disabled={busy || chosen === null}>
          {say('Set the class')}
        </button>
      </p>
    </form>
  );
}
