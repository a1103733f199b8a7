/**
 * Every message that the screens' code says: the English in the first argument of `say` and `rich`.
 * The build compiles them from here, the check of the catalogues holds them against here.
 */
import ts from 'typescript';

export interface FoundMessage {
  readonly message: string;
  /** where the literal stands in the source, from and to */
  readonly from: number;
  readonly to: number;
  readonly line: number;
}

const SAYERS = new Set(['say', 'rich']);

/** @throws Error when a message is put together instead of written out */
export function findMessages(path: string, source: string): readonly FoundMessage[] {
  if (!/\b(say|rich)\(/.test(source)) return [];
  const kind = path.endsWith('x') ? ts.ScriptKind.TSX : ts.ScriptKind.TS;
  const file = ts.createSourceFile(path, source, ts.ScriptTarget.Latest, false, kind);
  if (!file.statements.some(importsSayers)) return [];
  const found: FoundMessage[] = [];
  const visit = (node: ts.Node): void => {
    ts.forEachChild(node, visit);
    if (!ts.isCallExpression(node) || !ts.isIdentifier(node.expression)) return;
    if (!SAYERS.has(node.expression.text)) return;
    const [first] = node.arguments;
    const at = first?.getStart(file) ?? 0;
    const line = file.getLineAndCharacterOfPosition(at).line + 1;
    if (!first || !ts.isStringLiteralLike(first))
      throw new Error(`${path}:${line}: a message is written out as one literal`);
    found.push({ message: first.text, from: at, to: first.end, line });
  };
  visit(file);
  return found;
}

const importsSayers = (statement: ts.Statement): boolean =>
  ts.isImportDeclaration(statement) &&
  ts.isStringLiteral(statement.moduleSpecifier) &&
  /\/(say|rich)\.js$/.test(statement.moduleSpecifier.text);
