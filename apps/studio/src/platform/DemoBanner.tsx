/** On every screen of the demo home: what it is, and that it can be thrown away. */
export function DemoBanner() {
  return (
    <div className="demo" role="note">
      <b>demo</b>
      <span>
        Sallowmere Chapel is invented. Nothing here touches a studio’s archive; throw it away
        freely.
      </span>
    </div>
  );
}
