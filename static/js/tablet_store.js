// The tablet's own memory, in the browser's database: the entries that were made here, and pages of the open overhaul.
// It works on plain HTTP too, and outlives the browser. Pages and the service worker share it.
(() => {
  const version = 1;
  const day_ms = 86_400_000;
  let opened = null;

  function open() {
    opened ??= new Promise((done, failed) => {
      const request = indexedDB.open("wearbook-tablet", version);
      request.onupgradeneeded = () => {
        request.result.createObjectStore("entries", { keyPath: "n", autoIncrement: true }).createIndex("id", "id", { unique: true });
        request.result.createObjectStore("pages", { keyPath: "key" });
      };
      request.onerror = () => failed(request.error);
      request.onsuccess = () => {
        request.result.onversionchange = () => request.result.close();
        request.result.onclose = () => { opened = null; };
        done(request.result);
      };
    });
    opened.catch(() => { opened = null; });
    return opened;
  }

  // One transaction: what `work` asks for is answered once everything is on the disk.
  async function transact(store, mode, work) {
    const database = await open();
    return new Promise((done, failed) => {
      const transaction = database.transaction(store, mode, { durability: "strict" });
      const request = work(transaction.objectStore(store));
      transaction.oncomplete = () => done(request?.result);
      transaction.onabort = transaction.onerror = () => failed(transaction.error);
    });
  }

  // An entry made again under its identifier takes the place of the refused one, and goes to the end of the queue.
  const put_entry = (entry) => transact("entries", "readwrite", (entries) => {
    entries.index("id").getKey(entry.id).onsuccess = (event) => {
      if (event.target.result !== undefined) entries.delete(event.target.result);
      entries.add(entry);
    };
  });

  const change_entry = (id, changes) => transact("entries", "readwrite", (entries) => {
    entries.index("id").get(id).onsuccess = (event) => {
      if (event.target.result) entries.put({ ...event.target.result, ...changes });
    };
  });

  const list_entries = () => transact("entries", "readonly", (entries) => entries.getAll());

  // Only what the server has said it holds is forgotten, a day later.
  const forget_sent = () => transact("entries", "readwrite", (entries) => {
    entries.openCursor().onsuccess = (event) => {
      const cursor = event.target.result;
      if (!cursor) return;
      if (cursor.value.state === "sent" && cursor.value.sent_at < Date.now() - day_ms) cursor.delete();
      cursor.continue();
    };
  });

  // A page is found by its address without what was only said once.
  function key_of(href) {
    const address = new URL(href, location.href);
    for (const said_once of ["kept", "done"]) address.searchParams.delete(said_once);
    address.searchParams.sort();
    return address.pathname + address.search;
  }

  const put_page = (href, html, person) =>
    transact("pages", "readwrite", (pages) => pages.put({ key: key_of(href), html, person, at: Date.now() }));
  const get_page = (href) => transact("pages", "readonly", (pages) => pages.get(key_of(href)));
  const list_pages = () => transact("pages", "readonly", (pages) => pages.getAll());

  // Pages belong to whoever was signed in when they came; nobody else is shown them.
  const keep_pages_of = (person) => transact("pages", "readwrite", (pages) => {
    pages.openCursor().onsuccess = (event) => {
      const cursor = event.target.result;
      if (!cursor) return;
      if (!person || cursor.value.person !== person) cursor.delete();
      cursor.continue();
    };
  });

  // An identifier of the tablet's own; the browser's maker of identifiers is closed on plain HTTP.
  const identifier = () => [...crypto.getRandomValues(new Uint8Array(16))].map((byte) => byte.toString(16).padStart(2, "0")).join("");

  globalThis.tablet = {
    store: { put_entry, change_entry, list_entries, forget_sent, key_of, put_page, get_page, list_pages, keep_pages_of, identifier },
  };
})();
