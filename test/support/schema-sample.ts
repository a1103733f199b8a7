/** Bodies made from the API's own document, and the places in them that can be spoiled. */

export interface Schema {
  readonly $ref?: string;
  readonly const?: unknown;
  readonly enum?: readonly unknown[];
  readonly anyOf?: readonly Schema[];
  readonly oneOf?: readonly Schema[];
  readonly allOf?: readonly Schema[];
  readonly type?: string | readonly string[];
  readonly properties?: Readonly<Record<string, Schema>>;
  readonly required?: readonly string[];
  readonly items?: Schema;
  readonly prefixItems?: readonly Schema[];
  readonly minItems?: number;
  readonly minimum?: number;
  readonly exclusiveMinimum?: number;
  readonly minLength?: number;
  readonly format?: string;
}

export type Schemas = Readonly<Record<string, Schema>>;

/**
 * A body that fits the schema.
 *
 * @param known values for members by their name, where any value would not do
 * @param withOptional also what may be left out
 */
export function sampleOf(
  schema: Schema,
  schemas: Schemas,
  known: Readonly<Record<string, unknown>>,
  withOptional: boolean,
  depth = 0,
): unknown {
  const deeper = (of: Schema) => sampleOf(of, schemas, known, withOptional && depth < 6, depth + 1);
  if (schema.$ref !== undefined) return deeper(schemas[schema.$ref.split('/').at(-1)!]!);
  if ('const' in schema) return schema.const;
  if (schema.enum !== undefined) return schema.enum[0];
  const either = schema.anyOf ?? schema.oneOf;
  if (either !== undefined) return deeper(either[0]!);
  if (schema.allOf !== undefined) {
    return Object.assign({}, ...schema.allOf.map((part) => deeper(part) as object)) as unknown;
  }
  const type = typeof schema.type === 'string' ? schema.type : schema.type?.[0];
  switch (type) {
    case 'object':
      return Object.fromEntries(
        Object.entries(schema.properties ?? {})
          .filter(([name]) => withOptional || schema.required?.includes(name) === true)
          .map(([name, of]) => [name, name in known ? known[name] : deeper(of)]),
      );
    case 'array': {
      if (schema.prefixItems !== undefined) return schema.prefixItems.map(deeper);
      const count = Math.max(schema.minItems ?? 0, 1);
      return Array.from({ length: count }, () => deeper(schema.items ?? {}));
    }
    case 'integer':
    case 'number':
      return Math.max(schema.minimum ?? 1, (schema.exclusiveMinimum ?? 0) + 1);
    case 'boolean':
      return true;
    case 'null':
      return null;
    default:
      return 'pane'.padEnd(schema.minLength ?? 4, 's');
  }
}

export type Pointer = readonly (string | number)[];

/** Every place in a value, itself first. */
export function placesIn(value: unknown, at: Pointer = []): Pointer[] {
  if (typeof value !== 'object' || value === null) return [at];
  const inner = Array.isArray(value)
    ? value.map((one, i) => [i, one] as const)
    : Object.entries(value);
  return [at, ...inner.flatMap(([key, one]) => placesIn(one, [...at, key]))];
}

/** The same value with another at one place. */
export function replacedAt(value: unknown, [key, ...rest]: Pointer, by: unknown): unknown {
  if (key === undefined) return by;
  const changed = (inner: unknown) => replacedAt(inner, rest, by);
  if (Array.isArray(value)) return value.map((one: unknown, i) => (i === key ? changed(one) : one));
  const members = value as Record<string, unknown>;
  return { ...members, [key]: changed(members[key]) };
}
