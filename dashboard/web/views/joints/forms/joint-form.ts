import type { JSX } from 'preact';
import type { Entry, EntryBody } from '#core/journal/entry';
import type { Person } from '#core/messages/api';
import type { JointState } from '#core/messages/api-journal';
import type { ProcedureEntry } from '#core/messages/api-lists';
import type { ResolvedLimit } from '#core/procedure/limits';
import type { Procedure } from '#core/procedure/procedure';
import type { TaskStart } from '../joint-routes.ts';
import type { QualificationEntry } from '../qualification-warnings.ts';

/** What a form may look at. */
export interface FormContext {
  readonly joint: string;
  /** Null where the server has said nothing of this joint. */
  readonly state: JointState | null;
  readonly procedure: Procedure | null;
  readonly procedures: readonly ProcedureEntry[];
  readonly limitsOf: (pass: string) => readonly ResolvedLimit[];
  readonly passNames: readonly string[];
  readonly people: readonly Person[];
  readonly nameOf: (id: string) => string;
  readonly qualifications: readonly QualificationEntry[];
  readonly start: TaskStart;
  readonly nowMs: number;
}

/** As typed: texts, so that nothing half-entered is lost. */
export type Draft<K extends string> = Readonly<Record<K, string>>;

/** Why a field keeps the form from being sent, in words. */
export type Problems<K extends string> = Partial<Record<K, string>>;

export interface FieldsProps<K extends string> {
  readonly draft: Draft<K>;
  readonly change: (part: Partial<Draft<K>>) => void;
  readonly problems: Problems<K>;
  readonly context: FormContext;
}

/** One kind of entry about a joint as a form: how it begins, what it needs, what is sent. */
export interface JointForm<K extends string> {
  /** A reason is needed also the first time. */
  readonly needsReason: boolean;
  begin(context: FormContext): Draft<K>;
  /** A correction begins with what was entered. */
  from(entry: Entry, context: FormContext): Draft<K>;
  problems(draft: Draft<K>, context: FormContext): Problems<K>;
  /** Call only when there is no problem. */
  body(draft: Draft<K>, context: FormContext): EntryBody;
  Fields(props: FieldsProps<K>): JSX.Element;
}

/** An optional text as the schema wants it: absent when empty. */
export const given = <K extends string>(key: K, typed: string): { readonly [P in K]?: string } =>
  typed.trim() === '' ? {} : ({ [key]: typed.trim() } as { readonly [P in K]?: string });
