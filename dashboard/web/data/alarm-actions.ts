import { type Signal, signal } from '@preact/signals';
import type { AlarmPicture, AlarmPoint } from '#core/messages/api-alarm';
import type { AlarmStore } from './alarm-store.ts';
import type { ApiClient } from './api-client.ts';
import { type RememberedPerson, rememberedPerson, rememberPerson } from './remembered-person.ts';

/** What a person does about alarms, under the name last used on this device. */
export class AlarmActions {
  readonly who: Signal<RememberedPerson | null>;
  /** Asks for a sign-in over the page; true when somebody has signed in. */
  signIn: () => Promise<boolean> = async () => false;
  /** Somebody acted without a name: it is asked for where alarms are listed. */
  readonly asksWho: Signal<boolean> = signal(false);
  /** Why the last action was refused; empty where the server could not be reached; null when it was not. */
  readonly failure: Signal<string | null> = signal(null);
  readonly busy: Signal<boolean> = signal(false);
  readonly #api: ApiClient;
  readonly #store: AlarmStore;
  readonly #storage: Pick<Storage, 'getItem' | 'setItem'>;

  constructor(api: ApiClient, store: AlarmStore, storage: Pick<Storage, 'getItem' | 'setItem'>) {
    this.#api = api;
    this.#store = store;
    this.#storage = storage;
    this.who = signal(rememberedPerson(storage));
  }

  name(person: RememberedPerson): void {
    rememberPerson(this.#storage, person);
    this.who.value = person;
    this.asksWho.value = false;
  }

  /** Who signs in acts; who signs out no longer does. */
  signedIn(person: RememberedPerson | null): void {
    this.who.value = person;
    this.asksWho.value = false;
  }

  acknowledge = (alarms: readonly number[]): Promise<boolean> => this.#act('acknowledge', { alarms });
  reset = (alarms: readonly number[]): Promise<boolean> => this.#act('reset', { alarms });
  shelve = (point: AlarmPoint, reason: string, minutes: number): Promise<boolean> =>
    this.#act('shelve', { ...pointOf(point), reason, minutes });
  unshelve = (point: AlarmPoint): Promise<boolean> => this.#act('unshelve', pointOf(point));
  setService = (point: AlarmPoint, reason: string, inService: boolean): Promise<boolean> =>
    this.#act('out-of-service', { ...pointOf(point), reason, inService });

  /** True when it was done. */
  async #act(what: string, body: object): Promise<boolean> {
    this.failure.value = null;
    // Another screen of this page may have named somebody since.
    let who = rememberedPerson(this.#storage) ?? this.who.peek();
    if (who === null && (await this.signIn())) who = rememberedPerson(this.#storage) ?? this.who.peek();
    this.who.value = who;
    if (who === null) {
      this.asksWho.value = true;
      return false;
    }
    this.busy.value = true;
    try {
      this.#store.take(await this.#api.post<AlarmPicture>(['alarms', what], { ...body, author: who.id }));
      return true;
    } catch (error) {
      this.failure.value = error instanceof Error ? error.message : '';
      return false;
    } finally {
      this.busy.value = false;
    }
  }
}

const pointOf = ({ site, rig, cause }: AlarmPoint): AlarmPoint => ({ site, rig, cause });
