/** Why the archive said no; read out at once. */
export function Refusal({
  why,
  onGround = false,
}: {
  why: string | undefined;
  onGround?: boolean;
}) {
  if (why === undefined) return null;
  return (
    <p role="alert" className={onGround ? 'refused on-ground' : 'refused'}>
      {why}
    </p>
  );
}
