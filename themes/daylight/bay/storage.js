// Stores entries and photos of several vehicles on the device (IndexedDB), immediately after each change.
"use strict";
globalThis.bay = globalThis.bay || {};

bay.storage = (() => {
  const asked = (request) =>
    new Promise((resolve, reject) => {
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(request.error);
    });
  let opening = null;

  function open() {
    if (!opening) {
      const request = indexedDB.open("bay", 2);
      request.onupgradeneeded = ({ oldVersion }) => {
        if (oldVersion < 1) {
          request.result.createObjectStore("vehicles", { keyPath: "id" });
          request.result.createObjectStore("photos", { keyPath: "photo" }).createIndex("vehicle", "vehicle");
        }
        request.result.createObjectStore("device", { keyPath: "id" });
      };
      opening = asked(request);
    }
    return opening;
  }

  async function acting(stores, mode, act) {
    const database = await open();
    const transaction = database.transaction(stores, mode, { durability: "strict" });
    const done = new Promise((resolve, reject) => {
      transaction.oncomplete = resolve;
      transaction.onabort = transaction.onerror = () => reject(transaction.error);
    });
    const answer = await act(...stores.map((name) => transaction.objectStore(name)));
    await done;
    return answer;
  }

  const ofVehicle = (photos, id) => asked(photos.index("vehicle").getAllKeys(id));

  return {
    vehicles: () => acting(["vehicles"], "readonly", (vehicles) => asked(vehicles.getAll())),
    keep: (entries) => acting(["vehicles"], "readwrite", (vehicles) => asked(vehicles.put(entries))),
    keepPhoto: (photo, vehicle, bytes, type) =>
      acting(["photos"], "readwrite", (photos) => asked(photos.put({ photo, vehicle, bytes, type }))),
    photo: (photo) => acting(["photos"], "readonly", (photos) => asked(photos.get(photo))),
    forgetPhoto: (photo) => acting(["photos"], "readwrite", (photos) => asked(photos.delete(photo))),
    device: () =>
      acting(["device"], "readonly", async (device) => (await asked(device.get("device"))) || { id: "device" }),
    keepDevice: (settings) => acting(["device"], "readwrite", (device) => asked(device.put(settings))),
    clear: (id) =>
      acting(["vehicles", "photos"], "readwrite", async (vehicles, photos) => {
        for (const key of await ofVehicle(photos, id)) photos.delete(key);
        vehicles.delete(id);
      }),
  };
})();
