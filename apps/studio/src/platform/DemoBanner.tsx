/** On every screen of the demo home: what it is, and that it can be thrown away. */
export function DemoBanner() {
  return (
    <div className="demo" role="note">
      <b>demo</b>
      <span>invented; it touches no archive; throw it away freely</span>
    </div>
  );
}
