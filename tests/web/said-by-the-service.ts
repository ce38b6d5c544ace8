import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import ts from 'typescript';

// Reads out of the source what the service can say to people: every sentence, and every label of an
// explanation. `{1}`, `{2}` stand for what is put in; a choice between two texts gives two sentences.

const API = path.join(import.meta.dirname, '..', '..', 'api');
const WHERE = ['core', 'modules', 'http', 'persistence'];
/** Said to whoever writes a program or runs the service, never on a screen. */
const FOR_PROGRAMS = [
  /^http\/(etag|idempotency|observe-requests|storable-text|secure-headers|csv|page|openapi)\.ts$/,
  /^persistence\/(backup\/|database\.ts|embedded-engine\.ts|folder-lock\.ts|migrate|door\.ts)/,
  /^core\/(distributions|milp|netting|backtest)\//,
  /^core\/(demand|sugar|dough|frozen-base|schedule|exports)\//,
  /^core\/forecast\/(classical-pickup|service-day)\.ts$/,
  /^core\/explanation\/(compound-quantile|evaluate|formulas)\.ts$/,
  /^core\/(batches\/(joint|check)|central\/check|ordering\/(check|safety-need|stock-cover|season))/,
  /^modules\/access\/token/,
  /^modules\/backtests\//,
  /^modules\/recipes\/(exchange|recipes-exchange|schema-org)/,
];
/** The scan writes a text that is put in as a number in braces. */
type Put = { count: number };

export interface Saying {
  readonly file: string;
  readonly text: string;
}

/** Every wording that an expression can take; null for what is no text. */
function wordings(node: ts.Expression): readonly (readonly (string | null)[])[] | null {
  if (ts.isParenthesizedExpression(node)) return wordings(node.expression);
  if (ts.isStringLiteral(node) || ts.isNoSubstitutionTemplateLiteral(node)) return [[node.text]];
  if (ts.isConditionalExpression(node)) {
    const [yes, no] = [wordings(node.whenTrue), wordings(node.whenFalse)];
    return yes === null && no === null ? null : [...(yes ?? [[null]]), ...(no ?? [[null]])];
  }
  if (ts.isBinaryExpression(node) && node.operatorToken.kind === ts.SyntaxKind.PlusToken) {
    const [left, right] = [wordings(node.left), wordings(node.right)];
    if (left === null && right === null) return null;
    return joined([left ?? [[null]], right ?? [[null]]]);
  }
  if (ts.isTemplateExpression(node)) {
    return joined([
      [[node.head.text]],
      ...node.templateSpans.flatMap((span) => [
        wordings(span.expression) ?? [[null]],
        [[span.literal.text]],
      ]),
    ]);
  }
  return null;
}

const joined = (
  parts: readonly (readonly (readonly (string | null)[])[])[],
): readonly (readonly (string | null)[])[] =>
  parts.reduce<readonly (readonly (string | null)[])[]>(
    (before, part) => before.flatMap((start) => part.map((end) => [...start, ...end])),
    [[]],
  );

function written(parts: readonly (string | null)[]): string {
  const put: Put = { count: 0 };
  return parts.map((part) => part ?? `{${(put.count += 1)}}`).join('');
}

const isSentence = (text: string): boolean =>
  /[.!?]$/.test(text) && / /.test(text) && /^["'“({A-Z0-9]/.test(text) && /[a-z]{2}/.test(text);

const isThrownAtProgrammers = (node: ts.Node, source: ts.SourceFile): boolean =>
  ts.isNewExpression(node) && /^(Type|Range|Syntax)?Error$/.test(node.expression.getText(source));

function inFile(file: string): readonly Saying[] {
  const source = ts.createSourceFile(
    file,
    readFileSync(path.join(API, file), 'utf8'),
    ts.ScriptTarget.Latest,
    true,
  );
  const found: Saying[] = [];
  const look = (node: ts.Node, label: boolean): void => {
    if (ts.isImportDeclaration(node) || isThrownAtProgrammers(node, source)) return;
    let isLabel = label;
    if (ts.isPropertyAssignment(node)) {
      const name = node.name.getText(source);
      if (/^(description|summary)$/.test(name)) return;
      isLabel = name === 'label';
    }
    if (ts.isCallExpression(node) && /\.describe$/.test(node.expression.getText(source))) return;
    if (ts.isExpression(node)) {
      const texts = wordings(node);
      if (texts !== null) {
        for (const parts of texts) {
          const text = written(parts);
          if (isSentence(text) || (isLabel && /[a-z]{3}/.test(text.replace(/\{\d\}/g, '')))) {
            found.push({ file, text });
          }
        }
        // What is put in may itself hold a text: a list that is joined, a call.
        ts.forEachChild(node, (child) => {
          if (wordings(child as ts.Expression) === null) look(child, false);
        });
        return;
      }
    }
    ts.forEachChild(node, (child) => look(child, isLabel));
  };
  look(source, false);
  return found;
}

const files = (readdirSync(API, { recursive: true, encoding: 'utf8' }) as string[])
  .map((file) => file.split(path.sep).join('/'))
  .filter((file) => file.endsWith('.ts') && !file.includes('generated'))
  .filter((file) => WHERE.includes(file.split('/')[0] ?? ''))
  .sort();

/** What people can be told, each once, with the first file that says it. */
export function sayings(): readonly Saying[] {
  const once = new Map<string, Saying>();
  for (const file of files) {
    if (FOR_PROGRAMS.some((pattern) => pattern.test(file))) continue;
    for (const one of inFile(file)) if (!once.has(one.text)) once.set(one.text, one);
  }
  return [...once.values()];
}

/** The whole source, to ask whether a phrase that is put in still stands in it. */
export const sourceText = (): string =>
  files.map((file) => readFileSync(path.join(API, file), 'utf8')).join('\n');
