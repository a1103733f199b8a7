import { Field } from '../Field.js';
import { choose, GROUNDS, type Ground, manner } from './manner.js';
import { say } from './say.js';
import { LANGUAGES, type Language } from './tongue.js';

/** The language alone: on the door and on the phone, before anybody is known. */
export function LanguageChoice() {
  return (
    <p className="languages">
      {LANGUAGES.map(([language, name]) => (
        <button
          key={language}
          type="button"
          className="word"
          lang={language}
          aria-current={language === manner().language}
          onClick={() => {
            choose({ language });
          }}
        >
          {name}
        </button>
      ))}
    </p>
  );
}

const groundWords: Readonly<Record<Ground, string>> = {
  device: say('as this device'),
  dark: say('dark room'),
  light: say('by day'),
  'light-table': say('light table'),
};

/** What everything lies on; also on the phone, whose light is that of the place. */
export function GroundChoice() {
  return (
    <Field
      label={say('Ground')}
      hint={say('The light table is white under the drawing; the papers round it do not dazzle.')}
    >
      {(ids) => (
        <select
          {...ids}
          value={manner().ground}
          onChange={(event) => {
            choose({ ground: event.target.value as Ground });
          }}
        >
          {GROUNDS.map((one) => (
            <option key={one} value={one}>
              {groundWords[one]}
            </option>
          ))}
        </select>
      )}
    </Field>
  );
}

/** How this browser speaks and looks, all of it. */
export function MannerChoice() {
  const { language, days, lengths } = manner();
  return (
    <div className="manner">
      <Field label={say('Language')}>
        {(ids) => (
          <select
            {...ids}
            value={language}
            onChange={(event) => {
              choose({ language: event.target.value as Language });
            }}
          >
            {LANGUAGES.map(([key, name]) => (
              <option key={key} value={key} lang={key}>
                {name}
              </option>
            ))}
          </select>
        )}
      </Field>
      <Field label={say('Days')}>
        {(ids) => (
          <select
            {...ids}
            value={days}
            onChange={(event) => {
              choose({ days: event.target.value === 'iso' ? 'iso' : 'local' });
            }}
          >
            <option value="local">{say('12 May 2019')}</option>
            <option value="iso">2019-05-12</option>
          </select>
        )}
      </Field>
      <Field
        label={say('Lengths')}
        hint={say('As shown. Typed is in mm; write in or " behind a number that is in inches.')}
      >
        {(ids) => (
          <select
            {...ids}
            value={lengths}
            onChange={(event) => {
              choose({ lengths: event.target.value === 'inch' ? 'inch' : 'mm' });
            }}
          >
            <option value="mm">{say('millimetres')}</option>
            <option value="inch">{say('inches')}</option>
          </select>
        )}
      </Field>
      <GroundChoice />
    </div>
  );
}
