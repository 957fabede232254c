using System.Runtime.InteropServices;
using System.Text;
using Keyline.Console;
using Keyline.Console.Cli;

using CancellationTokenSource stop = new();

// The first interrupt asks the work to stop and tidy up; a second one ends the program as usual.
void Interrupt(PosixSignalContext context)
{
    if (!stop.IsCancellationRequested)
    {
        context.Cancel = true;
        stop.Cancel();
    }
}

using PosixSignalRegistration interrupt = PosixSignalRegistration.Create(PosixSignal.SIGINT, Interrupt);
using PosixSignalRegistration terminate = PosixSignalRegistration.Create(PosixSignal.SIGTERM, Interrupt);

if (Console.IsOutputRedirected)
{
    Console.OutputEncoding = new UTF8Encoding(encoderShouldEmitUTF8Identifier: false);
}

return App.Run(args, new RunContext(Console.Out, Console.Error, !Console.IsErrorRedirected, stop.Token));
