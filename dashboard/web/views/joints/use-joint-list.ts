import { useEffect, useState } from 'preact/hooks';
import type { Entry } from '#core/journal/entry';
import type { Joint } from '#core/messages/api';
import type { EntryPage } from '#core/messages/api-journal';
import type { JointList } from '#core/messages/api-lists';
import { useApp } from '../../app-context.ts';
import type { ApiClient } from '../../data/api-client.ts';
import { type ListedJoint, listJoints } from './joint-list.ts';

const PAGE = '200';
/** Pages read at once before the person asks for more; a page is a day or more of a spread. */
const PAGES = 5;

export interface JointsRead {
  readonly joints: readonly ListedJoint[];
  readonly loaded: boolean;
  /** More are stored than were read. */
  readonly more: boolean;
  readonly failure: string | null;
}

interface Pages<T> {
  readonly items: readonly T[];
  readonly more: boolean;
}

async function pages<T>(
  read: (before: Readonly<Record<string, string>>) => Promise<{ items: readonly T[]; next: string | null }>,
): Promise<Pages<T>> {
  const items: T[] = [];
  let next: string | null = null;
  for (let page = 0; page < PAGES; page++) {
    const got = await read(next === null ? {} : { before: next });
    items.push(...got.items);
    next = got.next;
    if (next === null) break;
  }
  return { items, more: next !== null };
}

async function readList(api: ApiClient): Promise<JointsRead> {
  const [recorded, opened] = await Promise.all([
    pages<Joint>(async before => {
      const list = await api.get<JointList>(['joints'], { limit: PAGE, ...before });
      return { items: list.joints, next: list.next };
    }),
    pages<Entry>(async before => {
      const page: EntryPage = await api.entries({ kind: 'jointOpened', limit: PAGE, ...before });
      return { items: page.entries, next: page.next };
    }),
  ]);
  return {
    joints: listJoints(recorded.items, opened.items),
    loaded: true,
    more: recorded.more || opened.more,
    failure: null,
  };
}

/** The newest joints; read again whenever something was entered or recorded. */
export function useJointList(): JointsRead {
  const { api, changes } = useApp();
  const [read, setRead] = useState<JointsRead>({ joints: [], loaded: false, more: false, failure: null });
  const version = changes.joints.value;
  useEffect(() => {
    let left = false;
    readList(api).then(
      now => {
        if (!left) setRead(now);
      },
      (error: unknown) => {
        const failure = error instanceof Error ? error.message : '';
        if (!left) setRead(known => ({ ...known, failure }));
      },
    );
    return () => {
      left = true;
    };
  }, [api, version]);
  return read;
}
