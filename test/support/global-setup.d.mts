export default function globalSetup(): Promise<void>;
