using System.Globalization;

namespace Keyline.Console.Cli;

/// <summary>One line on the terminal that says how far the work is; silent elsewhere.</summary>
internal sealed class ProgressLine : IProgress<PlanProgress>, IDisposable
{
    private const int Width = 60;

    private readonly TextWriter? _terminal;
    private string _shown = "";

    public ProgressLine(RunContext context, bool quiet) => _terminal = context.ShowProgress && !quiet ? context.Error : null;

    public void Report(PlanProgress value) => Show(value.Stage, value.Share);

    public void Show(string stage, double? share = null)
    {
        if (_terminal is null)
        {
            return;
        }

        string percent = share is double s ? string.Create(CultureInfo.InvariantCulture, $" {Math.Clamp(s, 0, 1) * 100,3:0} %") : "";
        string line = stage + percent;
        line = line.Length > Width ? line[..Width] : line;
        if (line != _shown)
        {
            _terminal.Write('\r' + line.PadRight(Width));
            _terminal.Flush();
            _shown = line;
        }
    }

    /// <summary>Wipes the line.</summary>
    public void Dispose()
    {
        if (_terminal is not null && _shown.Length > 0)
        {
            _terminal.Write('\r' + new string(' ', Width) + '\r');
            _terminal.Flush();
            _shown = "";
        }
    }
}
