import { say } from '../platform/language/say.js';

/**
 * The name over the door: a lancet of diamond quarries drawn as leads, one quarry in silver stain.
 * Drawn by us; it imitates no mark of anybody's.
 */
export function LeadedName() {
  const quarries: { x: number; y: number; lit: number }[] = [];
  for (let row = -1; row < 9; row++)
    for (let column = -1; column < 5; column++)
      quarries.push({
        x: column * 44 + (row % 2 === 0 ? 0 : 22),
        y: row * 34,
        lit: row === 5 && column === 2 ? 4 : (row * 7 + column * 11 + row * column * 3 + 40) % 4,
      });
  return (
    <div className="leaded">
      <svg viewBox="0 0 154 268" aria-hidden="true">
        <clipPath id="lancet">
          <path d="M4 264V92C4 44 40 18 77 4C114 18 150 44 150 92V264Z" />
        </clipPath>
        <g clipPath="url(#lancet)">
          <rect width="154" height="268" fill="#0a0b0b" />
          {quarries.map(({ x, y, lit }) => (
            <path
              key={`${x} ${y}`}
              d={`M${x} ${y - 31}l19.500 31l-19.500 31l-19.500-31Z`}
              fill={lit === 4 ? '#e2a42b' : ['#59686c', '#6c7b7d', '#4b595e', '#7f8d8c'][lit % 4]}
              fillOpacity={lit === 4 ? 1 : 0.55}
            />
          ))}
        </g>
        <path
          d="M4 264V92C4 44 40 18 77 4C114 18 150 44 150 92V264Z"
          fill="none"
          stroke="#b9b3a5"
          strokeWidth="5"
        />
      </svg>
      <div>
        <p className="name">Mullion</p>
        <p className="claim">{say('the working archive of a stained-glass conservation studio')}</p>
      </div>
    </div>
  );
}
