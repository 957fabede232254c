using System.Runtime.InteropServices;
using System.Text;
using Keyline.Console;
using Keyline.Console.Cli;

// How long the work has to stop by itself and tidy up, before the program does both for it.
const int MillisecondsToStop = 700;
const int MillisecondsToSay = 500;

using CancellationTokenSource stop = new();
int signal = 0;
RunContext? context = null;

void Stop(PosixSignalContext asked)
{
    asked.Cancel = true;
    int number = asked.Signal switch { PosixSignal.SIGTERM => 15, PosixSignal.SIGHUP => 1, _ => 2 };
    bool isFirst = Interlocked.CompareExchange(ref signal, number, 0) == 0;
    new Thread(() => End(isFirst ? MillisecondsToStop : 0)) { IsBackground = true }.Start();
    stop.Cancel();
}

// Whatever the work is at: what it was writing is removed, or waited for where it is being put in place.
void End(int after)
{
    Thread.Sleep(after);
    OutputFolder.AbandonAll();
    if (context?.State is { HasWritten: false } state)
    {
        // Nobody may read what is said, so it is not waited for long; but the work may be just about to say it itself.
        new Thread(() => state.SayStopped(context.Error, "Stopped; nothing was written.")) { IsBackground = true }.Start();
        state.AwaitSaid(MillisecondsToSay);
    }

    Environment.Exit(ExitCode.StoppedBy(signal));
}

using PosixSignalRegistration interrupt = PosixSignalRegistration.Create(PosixSignal.SIGINT, Stop);
using PosixSignalRegistration terminate = PosixSignalRegistration.Create(PosixSignal.SIGTERM, Stop);
using PosixSignalRegistration hangUp = PosixSignalRegistration.Create(PosixSignal.SIGHUP, Stop);

// Where nobody listens, what is opened next would take the place of the closed stream and be written into.
bool speaks = StandardStreams.IsOpen(1), warns = StandardStreams.IsOpen(2);
if (speaks && Console.IsOutputRedirected)
{
    Console.OutputEncoding = new UTF8Encoding(encoderShouldEmitUTF8Identifier: false);
}

context = new RunContext(speaks ? Console.Out : TextWriter.Null, warns ? Console.Error : TextWriter.Null, warns && !Console.IsErrorRedirected, stop.Token) { Signal = () => signal };
return App.Run(args, context);
