import { readSites, type Site, siteMark } from '../platform/api/sites.js';
import { mayDo } from '../platform/api/state.js';
import { MannerChoice } from '../platform/language/MannerChoice.js';
import { rich } from '../platform/language/rich.js';
import { say, sayWord } from '../platform/language/say.js';
import { Shell } from '../platform/Shell.js';
import { useSession } from '../platform/session.js';
import { useAnswer } from '../platform/use-answer.js';
import { AddPerson } from './AddPerson.js';
import { NameWithoutAccount } from './NameWithoutAccount.js';
import { PeopleList } from './PeopleList.js';
import { PhonesPaper } from './PhonesPaper.js';
import { TokensPaper } from './TokensPaper.js';

const noSites: readonly Site[] = [];

/** Who one is, who may do what, and keys for programs. */
export function PeopleRoom() {
  const { me } = useSession();
  const sites = useAnswer('sites', readSites);
  const keeper = mayDo(me, null, 'keeper');
  const where = (siteId: string | null) => {
    const site = sites.value?.find((known) => known.siteId === siteId);
    return siteId === null
      ? say('everywhere')
      : say('at {site}', { site: site ? siteMark(site) : say('another site') });
  };
  return (
    <Shell mark={null} sentence={<>{say('people and keys of this archive')}</>}>
      <div className="scroll">
        <section className="paper" aria-label={say('You')}>
          <h1>{me.displayName}</h1>
          <p className="sub">{rich('signed in as {login}', { login: me.login })}</p>
          <ul className="lines">
            {me.roles.map((grant) => (
              <li key={`${grant.role} ${grant.siteId ?? ''}`}>
                <span>{sayWord(grant.role)}</span>
                <span>{where(grant.siteId)}</span>
              </li>
            ))}
          </ul>
          <MannerChoice />
        </section>
        <PhonesPaper sites={sites.value ?? noSites} where={where} />
        {keeper ? <PeopleList sites={sites.value ?? noSites} where={where} /> : null}
        {keeper ? <AddPerson /> : null}
        {keeper ? <NameWithoutAccount /> : null}
        <TokensPaper />
      </div>
    </Shell>
  );
}
