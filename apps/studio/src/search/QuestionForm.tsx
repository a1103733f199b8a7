import { type SubmitEvent, useState } from 'react';
import { say } from '../platform/language/say.js';
import { TextField } from '../platform/TextField.js';
import { withQuestion } from './asked.js';

/** One line in plain words; what is understood of it becomes chips. */
export function QuestionForm({
  words,
  onGo,
}: {
  words: URLSearchParams;
  onGo: (words: URLSearchParams) => void;
}) {
  const [typed, setTyped] = useState(words.get('q') ?? '');
  return (
    <form
      className="search-form"
      onSubmit={(event: SubmitEvent<HTMLFormElement>) => {
        event.preventDefault();
        onGo(withQuestion(words, typed));
      }}
    >
      <TextField
        label={say('Ask the past')}
        hint={say(
          'Plain words: epoxy on sII before 2000 · who repainted faces · all pieces with two generations',
        )}
        type="search"
        value={typed}
        onValue={setTyped}
      />
      <button type="submit">{say('Search')}</button>
    </form>
  );
}
