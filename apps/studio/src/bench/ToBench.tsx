import { Go } from '../platform/Go.js';
import { say } from '../platform/language/say.js';
import { pathOf } from '../platform/place.js';

/** The way back to a panel's bench. */
export function ToBench({ mark }: { mark: string }) {
  return (
    <Go className="act quiet" to={pathOf(mark)}>
      {say('Back to the bench')}
    </Go>
  );
}
