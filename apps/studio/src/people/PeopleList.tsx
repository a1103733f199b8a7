import { useState } from 'react';
import {
  grantRole,
  type NameTraces,
  type Person,
  readPeople,
  readPersonTraces,
  withdrawRole,
} from '../platform/api/people.js';
import { type Site, siteMark } from '../platform/api/sites.js';
import { type Role, roles } from '../platform/api/state.js';
import { rich } from '../platform/language/rich.js';
import { say, sayWord } from '../platform/language/say.js';
import { Refusal } from '../platform/Refusal.js';
import { useAct } from '../platform/use-act.js';
import { useAnswer } from '../platform/use-answer.js';
import { EraseName } from './EraseName.js';

/** Everybody with what they may do; a keeper gives roles and takes them back. */
export function PeopleList({
  sites,
  where,
}: {
  sites: readonly Site[];
  where: (siteId: string | null) => string;
}) {
  const people = useAnswer('people', readPeople);
  return (
    <section className="paper stack" aria-label={say('People')}>
      <h2>{say('People')}</h2>
      {people.why ? <p role="alert">{people.why}</p> : null}
      {(people.value ?? []).map((person) => (
        <PersonRow
          key={person.personId}
          person={person}
          sites={sites}
          where={where}
          again={people.again}
        />
      ))}
    </section>
  );
}

function PersonRow({
  person,
  sites,
  where,
  again,
}: {
  person: Person;
  sites: readonly Site[];
  where: (siteId: string | null) => string;
  again: () => void;
}) {
  const [role, setRole] = useState<Role>('recorder');
  const [siteId, setSiteId] = useState('');
  const [traces, setTraces] = useState<NameTraces>();
  const { busy, why, run } = useAct();
  if (person.erasedAt) {
    return (
      <div className="stack person">
        <h3>{person.displayName}</h3>
        <p className="kept">
          {say('Erased on {value}; what they recorded stays.', {
            value: person.erasedAt.slice(0, 10),
          })}
        </p>
      </div>
    );
  }
  return (
    <div className="stack person">
      <h3>
        {person.displayName} ({person.login})
      </h3>
      <ul className="lines">
        {person.roles.map((grant) => (
          <li key={grant.grantId}>
            <span>
              {sayWord(grant.role)} {where(grant.siteId)}
            </span>
            <button
              type="button"
              className="word"
              disabled={busy}
              onClick={() => {
                void run(async () => {
                  await withdrawRole(person.personId, grant.grantId);
                  again();
                });
              }}
            >
              {say('take back')}
            </button>
          </li>
        ))}
      </ul>
      <div className="row">
        <select
          className="paper-word"
          aria-label={say('Role for {displayName}', { displayName: person.displayName })}
          value={role}
          onChange={(event) => {
            setRole(event.target.value as Role);
          }}
        >
          {roles.map((known) => (
            <option key={known} value={known}>
              {sayWord(known)}
            </option>
          ))}
        </select>
        <select
          className="paper-word"
          aria-label={say('Where {displayName} has it', { displayName: person.displayName })}
          value={siteId}
          onChange={(event) => {
            setSiteId(event.target.value);
          }}
        >
          <option value="">{say('everywhere')}</option>
          {sites.map((site) => (
            <option key={site.siteId} value={site.siteId}>
              {rich('at {site}', { site: siteMark(site) })}
            </option>
          ))}
        </select>
        <button
          type="button"
          className="quiet"
          disabled={busy}
          onClick={() => {
            void run(async () => {
              await grantRole(person.personId, { role, siteId: siteId === '' ? null : siteId });
              again();
            });
          }}
        >
          {say('Give this role')}
        </button>
      </div>
      {traces ? (
        <EraseName
          of={person}
          traces={traces}
          onDone={again}
          onLeave={() => {
            setTraces(undefined);
          }}
        />
      ) : (
        <p className="row">
          <button
            type="button"
            className="word"
            aria-label={say('erase this person: {displayName}', {
              displayName: person.displayName,
            })}
            disabled={busy}
            onClick={() => {
              void run(async () => {
                setTraces(await readPersonTraces(person.personId));
              });
            }}
          >
            {say('erase this person')}
          </button>
        </p>
      )}
      <Refusal why={why} />
    </div>
  );
}
