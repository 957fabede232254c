using System.Diagnostics;
using System.Text.Json;
using Keyline.Console.Cli;

namespace Keyline.Console.Tests;

/// <summary>The program as a process of its own: what only a shell can see.</summary>
public sealed class ProcessTests : IDisposable
{
    private readonly TestFarm _farm = new();

    public void Dispose() => _farm.Dispose();

    [Fact]
    public void Process_Piped_Json_PrintsOneObjectThatHoldsTheSummaryAndNothingElse()
    {
        using Process process = Start(_farm.Plan("--json"));
        string output = process.StandardOutput.ReadToEnd();
        string error = process.StandardError.ReadToEnd();
        process.WaitForExit();
        Assert.Contains(process.ExitCode, (int[])[0, 3]);
        Assert.Equal("", error);
        using JsonDocument printed = JsonDocument.Parse(output);
        using JsonDocument written = JsonDocument.Parse(File.ReadAllBytes(Path.Combine(_farm.Out, "plan.json")));
        foreach (JsonProperty property in written.RootElement.EnumerateObject())
        {
            Assert.True(JsonElement.DeepEquals(property.Value, printed.RootElement.GetProperty(property.Name)), property.Name);
        }

        Assert.Equal(process.ExitCode, printed.RootElement.GetProperty("exit_code").GetInt32());
        string folder = printed.RootElement.GetProperty("folder").GetString()!;
        Assert.Equal(6, printed.RootElement.GetProperty("files").GetArrayLength());
        Assert.All(printed.RootElement.GetProperty("files").EnumerateArray(), file => Assert.True(File.Exists(Path.Combine(folder, file.GetString()!))));
    }

    [Theory]
    [InlineData("-INT", 130)]
    [InlineData("-TERM", 143)]
    [InlineData("-HUP", 129)]
    public void Process_Stopped_LeavesNothingAndSaysByWhat(string signal, int code)
    {
        if (OperatingSystem.IsWindows())
        {
            Assert.Skip("Signals are sent with kill, which Windows has not.");
        }

        string[] before = _farm.Contents();
        // Fine lines, so that the work takes long enough to be interrupted.
        using Process process = Start(_farm.PlanWith("--spacing", "60 cm"));
        Stopwatch clock = Stopwatch.StartNew();
        while (_farm.Contents().Length == before.Length && !process.HasExited && clock.Elapsed < TimeSpan.FromSeconds(20))
        {
            Thread.Sleep(2);
        }

        using Process kill = Process.Start("kill", [signal, process.Id.ToString(System.Globalization.CultureInfo.InvariantCulture)]);
        kill.WaitForExit();
        string output = process.StandardOutput.ReadToEnd();
        string error = process.StandardError.ReadToEnd();
        Assert.True(process.WaitForExit(20_000));
        Assert.Equal(code, process.ExitCode);
        Assert.Equal("", output);
        Assert.Equal("Stopped; nothing was written.", error.Trim());
        Assert.Equal(before, _farm.Contents());
    }

    // The promise is a second; the rest is for a machine that does other work beside the tests.
    [Theory]
    [InlineData(0.3)]
    [InlineData(1.5)]
    [InlineData(4)]
    public void Process_DemoInterrupted_EndsQuicklyAndLeavesNothing(double seconds)
    {
        if (OperatingSystem.IsWindows())
        {
            Assert.Skip("Signals are sent with kill, which Windows has not.");
        }

        string[] before = _farm.Contents();
        using Process process = Start(["demo", "--out", _farm.At("demo")]);
        Stopwatch clock = Stopwatch.StartNew();
        while (_farm.Contents().Length == before.Length && !process.HasExited && clock.Elapsed < TimeSpan.FromSeconds(20))
        {
            Thread.Sleep(2);
        }

        if (process.WaitForExit(TimeSpan.FromSeconds(seconds)))
        {
            Assert.Skip("The demo was done before it could be interrupted.");
        }

        using Process kill = Process.Start("kill", ["-INT", process.Id.ToString(System.Globalization.CultureInfo.InvariantCulture)]);
        clock.Restart();
        Assert.True(process.WaitForExit(20_000));
        Assert.InRange(clock.Elapsed.TotalSeconds, 0, 4);
        Assert.Equal(130, process.ExitCode);
        Assert.Equal("Stopped; nothing was written.", process.StandardError.ReadToEnd().Trim());
        Assert.Equal(before, _farm.Contents());
    }

    private static Process Start(string[] args)
    {
        string program = Path.Combine(AppContext.BaseDirectory, "Keyline.Console.dll");

        // A shell that runs the tests in the background makes them ignore interrupts, and their children with them.
        (string starter, string[] first) = OperatingSystem.IsLinux() ? ("env", ["--default-signal=INT", "--default-signal=TERM", "--default-signal=HUP", "dotnet"]) : ("dotnet", Array.Empty<string>());
        return Process.Start(new ProcessStartInfo(starter, [.. first, program, .. args]) { RedirectStandardOutput = true, RedirectStandardError = true })!;
    }
}
