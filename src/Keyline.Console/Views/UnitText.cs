using System.Text;
using Keyline.Report;

namespace Keyline.Console.Views;

/// <summary>Where a person reads: text with its numbers in the units asked for.</summary>
/// <remarks>What is written as a plain string stays as it is, so that a name is never taken for a quantity.</remarks>
internal sealed class UnitText(TextWriter output, UnitSystem units) : TextWriter
{
    /// <inheritdoc/>
    public override Encoding Encoding => output.Encoding;

    /// <summary>Short names of units, and numbers for tables.</summary>
    public UnitSystem Units => units;

    /// <summary>The same text in metric units, for files that stay so.</summary>
    public static UnitText Metric(TextWriter output) => new(output, UnitSystem.Metric);

    /// <inheritdoc/>
    public override void Write(char value) => output.Write(value);

    /// <inheritdoc/>
    public override void Write(string? value) => output.Write(value);

    /// <inheritdoc/>
    public override void WriteLine() => output.WriteLine();

    /// <inheritdoc/>
    public override void WriteLine(string? value) => output.WriteLine(value);

    /// <summary>A line written in metric units; its numbers are converted before they are rounded.</summary>
    public void Line(FormattableString line) => output.WriteLine(units.Say(line));

    /// <summary>A sentence that another part of the program wrote in metric units.</summary>
    public void Sentence(string sentence) => output.WriteLine(units.Reworded(sentence));

    /// <summary>A cell of a table, right-aligned; a dash where there is no number.</summary>
    /// <param name="value">SI.</param>
    /// <param name="kind">What it is.</param>
    /// <param name="format">Its format in metric units.</param>
    /// <param name="width">Characters.</param>
    public string Cell(double value, UnitKind kind, string format, int width) => units.Number(value, kind, format).PadLeft(width);

    /// <summary>The short name of a unit.</summary>
    public string Symbol(UnitKind kind) => units.Symbol(kind);
}
