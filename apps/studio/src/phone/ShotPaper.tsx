import { Why } from '../platform/figure/Figure.js';
import { say } from '../platform/language/say.js';
import { DiscardAct } from './DiscardAct.js';
import type { Said } from './judge/say-picture.js';
import { LocalPicture } from './LocalPicture.js';
import type { Picture } from './queue/picture.js';
import { happen } from './queue/queue-store.js';

export interface Shot {
  readonly picture: Picture;
  /** null while it is looked at */
  readonly said: Said | null;
}

/** The last shot and what the look at it says, while the panel has not moved yet. */
export function ShotPaper({ shot, onDone }: { shot: Shot; onDone: () => void }) {
  const { picture, said } = shot;
  const letGo = async () => {
    await happen(picture.id, { kind: 'let-go', job: { ...picture.job, kind: 'photograph' } });
    onDone();
  };
  return (
    <div className="shot" role="status" aria-label={say('The last picture')}>
      <LocalPicture id={picture.id} />
      <div className="stack">
        {said === null ? (
          <p>{say('It lies on this phone. Looking at it; leave the panel where it is…')}</p>
        ) : (
          <>
            <p>
              {said.found.join(' · ')} <Why kind="picture-look" of={say('what the phone sees')} />
            </p>
            {said.stop === null ? null : <p className="refused">{said.stop}</p>}
            {said.again.map((line) => (
              <p key={line} className="refused">
                {line}
              </p>
            ))}
            <div className="row">
              {said.stop === null ? (
                <button type="button" className="quiet" onClick={onDone}>
                  {said.again.length === 0 ? say('Good') : say('Keep it so')}
                </button>
              ) : (
                <button type="button" className="quiet" onClick={() => void letGo()}>
                  {say('Keep as a photograph')}
                </button>
              )}
              {said.stop === null && said.again.length === 0 ? null : (
                <DiscardAct picture={picture} words={say('Discard, take again')} onDone={onDone} />
              )}
            </div>
          </>
        )}
      </div>
    </div>
  );
}
