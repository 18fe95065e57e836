/** What a page of another origin tries against the program, all of it from inside that page. */
import type { Page } from 'playwright-core';

/** Everything that a page of another origin can try; gives what came back to it. */
export function attack(page: Page, target: string, key: string): Promise<Record<string, string>> {
  return page.evaluate(
    async ([target, key]) => {
      const got: Record<string, string> = {};
      const body = JSON.stringify({ text: 'format = 1\n[vehicle]\nname = "planted"\n' });
      const json = { 'Content-Type': 'application/json' };
      const bearer = { ...json, Authorization: `Bearer ${key}` };
      const tries: Record<string, [string, RequestInit]> = {
        'cors post': ['/api/vehicles', { method: 'POST', headers: json, body }],
        'cors post with a key': ['/api/vehicles', { method: 'POST', headers: bearer, body }],
        'cors put with a key': ['/api/vehicles/1', { method: 'PUT', headers: bearer, body }],
        'cors get': ['/api/vehicles', {}],
        'cors get with a key': ['/api/vehicles', { headers: { Authorization: `Bearer ${key}` } }],
        'get with cookies': ['/api/vehicles', { credentials: 'include' }],
        'blind post': ['/api/vehicles', { method: 'POST', mode: 'no-cors', headers: json, body }],
        'blind pairing': [
          '/api/pair',
          { method: 'POST', mode: 'no-cors', headers: json, body: '{"code":"a","name":"b"}' },
        ],
        'blind get': ['/api/vehicles', { mode: 'no-cors' }],
      };
      for (const [name, [path, init]] of Object.entries(tries)) {
        try {
          const answer = await fetch(target + path, init);
          got[name] = `${answer.type} ${answer.status} ${await answer.text()}`;
        } catch (cause) {
          got[name] = (cause as Error).name;
        }
      }
      const element = <T extends HTMLElement>(tag: string, set: (own: T) => void): Promise<string> =>
        new Promise((done) => {
          const own = document.createElement(tag) as T;
          own.onload = () => done('loaded');
          own.onerror = () => done('refused');
          set(own);
          document.body.append(own);
          // Longer than any machine is busy: one of the two above always comes.
          setTimeout(() => done('nothing'), 60_000);
        });
      got['image'] = await element<HTMLImageElement>('img', (own) => {
        own.src = `${target}/favicon.svg`;
      });
      for (const path of ['/api/vehicles', '/api/vehicles/1', '/api/schema']) {
        got[`script ${path}`] = await element<HTMLScriptElement>('script', (own) => {
          own.src = target + path;
        });
      }
      got['stream'] = await new Promise((done) => {
        const stream = new EventSource(`${target}/api/events`);
        stream.onopen = () => done('open');
        stream.onerror = () => done('refused');
      });
      for (const path of ['/', '/p']) {
        const frame = document.createElement('iframe');
        frame.src = target + path;
        frame.name = `frame ${path}`;
        const loaded = new Promise((done) => {
          frame.onload = done;
        });
        document.body.append(frame);
        await loaded;
      }
      // A form needs no leave to post, and can write what looks like JSON as plain text.
      for (const enctype of ['text/plain', 'application/x-www-form-urlencoded', 'multipart/form-data']) {
        const sink = document.createElement('iframe');
        sink.name = enctype;
        document.body.append(sink);
        const form = document.createElement('form');
        Object.assign(form, { method: 'post', action: `${target}/api/vehicles`, enctype, target: enctype });
        const field = document.createElement('input');
        field.name = '{"text":"format = 1\\n[vehicle]\\nname = \\"planted\\"\\n","name":"';
        field.value = '"}';
        form.append(field);
        document.body.append(form);
        const loaded = new Promise((done) => {
          sink.onload = done;
          setTimeout(done, 20_000);
        });
        form.submit();
        await loaded;
      }
      return got;
    },
    [target, key] as const,
  );
}
