/* What a worker of a site has around it; SITE is the line that publish/offline.py writes in front: what one build holds, each
   address with its digest. */
export {};
declare global {
  const SITE: { edition: string; build: string; editions: string[]; first: Record<string, string>; later: Record<string, string> };
  interface WorkerGlobalScope {
    readonly registration: ServiceWorkerRegistration;
    readonly clients: Clients;
    skipWaiting(): Promise<void>;
    addEventListener(type: "install" | "activate", listener: (event: ExtendableEvent) => void): void;
    addEventListener(type: "fetch", listener: (event: FetchEvent) => void): void;
    addEventListener(type: "message", listener: (event: ExtendableMessageEvent) => void): void;
  }
}
